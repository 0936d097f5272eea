namespace DriftWatch.SamplePlant;

/// <summary>How the logger of a vessel samples and delivers.</summary>
/// <param name="IntervalMinutes">Time between two samples.</param>
/// <param name="FastIntervalMinutes">Time between two samples from ten minutes before a release to an hour after it; null if no faster than else.</param>
/// <param name="BufferDays">Days the logger gathers before it delivers, late and out of order; 0 if it delivers at once.</param>
public sealed record Logging(int IntervalMinutes, int? FastIntervalMinutes = null, int BufferDays = 0)
{
    private const int FastBefore = 10;
    private const int FastAfter = 60;

    /// <summary>Whether a sample is due in this minute.</summary>
    /// <param name="minute">Minute from the start.</param>
    /// <param name="now">The stretch it lies in.</param>
    /// <param name="next">The stretch after it, null at the end.</param>
    public bool IsDue(int minute, Stretch now, Stretch? next)
    {
        bool nearRelease = (now.State == FluidState.Released && minute - now.StartMinute < FastAfter)
            || (next is { State: FluidState.Released } release && release.StartMinute - minute <= FastBefore);
        int interval = nearRelease ? FastIntervalMinutes ?? IntervalMinutes : IntervalMinutes;
        return minute % interval == 0;
    }
}
