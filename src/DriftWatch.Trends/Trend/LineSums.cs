namespace DriftWatch.Trends.Trend;

/// <summary>
/// Weighted sums of a straight line by least squares, about their means, taken in one entry at a time
/// (Welford, Technometrics 4 (1962) 419): what was taken in before need not be kept.
/// </summary>
internal struct LineSums
{
    private double _weight, _seconds, _value, _timeSquares, _products, _valueSquares;

    /// <summary>Entries taken in.</summary>
    public int Count { get; private set; }

    /// <summary>Weighted sum of squared distances from the mean instant, (s/Pa)2.</summary>
    public readonly double TimeSquares => _timeSquares;

    /// <summary>Slope, Pa/s; NaN while all entries lie at one instant.</summary>
    public readonly double Slope => _products / _timeSquares;

    /// <summary>Weighted sum of the squared residuals.</summary>
    public readonly double ResidualSquares =>
        _timeSquares > 0 ? Math.Max(0, _valueSquares - (_products * _products / _timeSquares)) : _valueSquares;

    public void Add(TrendEntry entry)
    {
        if (entry.Weight <= 0)
        {
            return;
        }

        Count++;
        _weight += entry.Weight;
        double time = entry.Seconds - _seconds, value = entry.ValuePa - _value;
        _seconds += time * entry.Weight / _weight;
        _value += value * entry.Weight / _weight;
        _timeSquares += entry.Weight * time * (entry.Seconds - _seconds);
        _products += entry.Weight * time * (entry.ValuePa - _value);
        _valueSquares += entry.Weight * value * (entry.ValuePa - _value);
    }
}
