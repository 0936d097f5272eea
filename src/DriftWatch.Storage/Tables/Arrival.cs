namespace DriftWatch.Storage.Tables;

/// <summary>What one commit brought of one vessel.</summary>
/// <param name="Sequence">Number of the commit.</param>
/// <param name="EarliestTicks">Earliest instant.</param>
/// <param name="LatestTicks">Latest instant.</param>
/// <param name="Readings">New readings, at least 1.</param>
internal readonly record struct Arrival(long Sequence, long EarliestTicks, long LatestTicks, int Readings)
{
    /// <summary>Both as one, under the sequence of the later.</summary>
    public Arrival JoinedWith(Arrival later) => new(
        later.Sequence, Math.Min(EarliestTicks, later.EarliestTicks), Math.Max(LatestTicks, later.LatestTicks), Readings + later.Readings);
}
