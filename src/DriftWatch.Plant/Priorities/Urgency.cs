using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Priorities;

/// <summary>The order in which vessels need a hand, wherever they are listed.</summary>
public static class Urgency
{
    /// <summary>
    /// By verdict (<see cref="VerdictNames.ByUrgency"/>); those below the lower limit by what is left, the least first, for no date is left
    /// to wait for; the others by the earliest credible date of the lower limit; then by id.
    /// </summary>
    /// <param name="all">What is listed.</param>
    /// <param name="vesselOf">Its vessel.</param>
    /// <param name="assessmentOf">What is said of the vessel; null for nothing yet.</param>
    public static IOrderedEnumerable<T> MostUrgentFirst<T>(IEnumerable<T> all, Func<T, Vessel> vesselOf, Func<T, Assessment?> assessmentOf) => all
        .OrderBy(one => VerdictNames.UrgencyOf(assessmentOf(one)?.Verdict ?? Verdict.NotKnownYet))
        .ThenBy(one => assessmentOf(one) is { Verdict: Verdict.BelowLowerLimit } below ? ShareLeft(vesselOf(one), below) : 0)
        .ThenBy(one => assessmentOf(one)?.Forecast?.Earliest ?? DateTimeOffset.MaxValue)
        .ThenBy(one => vesselOf(one).Id, StringComparer.Ordinal);

    private static double ShareLeft(Vessel vessel, Assessment now) =>
        now.PrechargePa is { } level ? (level - vessel.Specification.Ambient.Pascals) / vessel.Specification.NominalPrecharge.Pascals : 0;
}
