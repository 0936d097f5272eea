namespace DriftWatch.Plant.Readings;

/// <summary>What became of the readings of one commit; the four together are all of them.</summary>
/// <param name="Entered">Readings that were new.</param>
/// <param name="Repeated">Readings held already, with the same value.</param>
/// <param name="Differing">Readings whose instant is held already with another value; the one held first stays.</param>
/// <param name="TooOld">Readings of days whose raw readings are past their retention.</param>
public readonly record struct CommittedReadings(long Entered, long Repeated, long Differing, long TooOld)
{
    /// <summary>Both together.</summary>
    public CommittedReadings And(CommittedReadings other) =>
        new(Entered + other.Entered, Repeated + other.Repeated, Differing + other.Differing, TooOld + other.TooOld);
}
