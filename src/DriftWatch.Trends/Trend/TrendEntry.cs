namespace DriftWatch.Trends.Trend;

/// <summary>One entry of a condensed series: a point, or the weighted mean of neighbouring points.</summary>
/// <param name="Seconds">Instant, s since the first point of the series.</param>
/// <param name="ValuePa">Precharge, Pa.</param>
/// <param name="Weight">Inverse square of the random standard uncertainty, 1/Pa2; 0 when no point of it is to be trusted.</param>
/// <param name="Count">Points behind it.</param>
internal readonly record struct TrendEntry(double Seconds, double ValuePa, double Weight, int Count)
{
    /// <summary>The weighted mean of two entries.</summary>
    public TrendEntry Join(TrendEntry later)
    {
        double sum = Weight + later.Weight;
        double share = sum > 0 ? later.Weight / sum : 0.5;
        return new TrendEntry(
            Seconds + (share * (later.Seconds - Seconds)), ValuePa + (share * (later.ValuePa - ValuePa)), sum, Count + later.Count);
    }
}
