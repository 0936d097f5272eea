using DriftWatch.Plant.Register;

namespace DriftWatch.Plant.Rounds;

/// <summary>A vessel on a round.</summary>
/// <param name="Vessel">The vessel.</param>
/// <param name="Due">When the check is due, UTC.</param>
/// <param name="Reason">Why then.</param>
/// <param name="ByHand">When it was last checked or charged by hand, UTC; null for never on record.</param>
/// <param name="Online">End of its last window while the transducers are trusted, UTC; null for none, or where they are not.</param>
public sealed record RoundStop(Vessel Vessel, DateTimeOffset Due, DueReason Reason, DateTimeOffset? ByHand, DateTimeOffset? Online);
