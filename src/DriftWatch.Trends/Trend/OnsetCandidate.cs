namespace DriftWatch.Trends.Trend;

/// <summary>A moment at which the loss rate may have changed, with the sums of the points before and from it on.</summary>
internal sealed class OnsetCandidate(int number, int firstPoint, double seconds, LineSums before)
{
    private LineSums _before = before;
    private LineSums _since;

    /// <summary>Counts the candidates of a segment, from 1.</summary>
    public int Number { get; } = number;

    /// <summary>Index of its first point in the segment.</summary>
    public int FirstPoint { get; } = firstPoint;

    /// <summary>Its instant, s since the first point of the segment.</summary>
    public double Seconds { get; } = seconds;

    /// <summary>Sums of the points before it.</summary>
    public LineSums Before => _before;

    /// <summary>Sums of the points from it on.</summary>
    public LineSums Since => _since;

    /// <summary>Takes a point in for good.</summary>
    public void Settle(int index, TrendEntry point)
    {
        if (index < FirstPoint)
        {
            _before.Add(point);
        }
        else
        {
            _since.Add(point);
        }
    }
}
