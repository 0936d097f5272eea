using DriftWatch.Trends.Inspection;

namespace DriftWatch.Plant.Rounds;

/// <summary>Where a vessel stands on the inspection ladder, by all that was seen of it up to a moment. Costly to find, so worth remembering.</summary>
/// <param name="AsOf">The moment, UTC.</param>
/// <param name="Until">When something that is dated later begins to count, UTC; the maximum for nothing.</param>
/// <param name="Start">What the ladder starts from: the last charge, else what was seen first; null for never seen.</param>
/// <param name="Next">The next inspection; of no meaning without a start.</param>
/// <param name="ByHand">When it was last checked or charged by hand, UTC; null for never on record.</param>
/// <param name="Online">End of its last window while the transducers are trusted, UTC; null for none, or where they are not.</param>
public sealed record LadderPlace(
    DateTimeOffset AsOf, DateTimeOffset Until, PrechargeCheck? Start, NextInspection Next, DateTimeOffset? ByHand, DateTimeOffset? Online)
{
    /// <summary>Whether it is the same at another moment, as long as nothing new was seen.</summary>
    public bool HoldsAt(DateTimeOffset asOf) => asOf >= AsOf && asOf < Until;
}
