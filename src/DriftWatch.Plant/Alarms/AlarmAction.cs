namespace DriftWatch.Plant.Alarms;

/// <summary>What someone did to an alarm.</summary>
/// <param name="VesselId">The vessel.</param>
/// <param name="Kind">The alarm.</param>
/// <param name="At">When, UTC.</param>
/// <param name="What">What: one of the events that people cause.</param>
/// <param name="By">Who.</param>
/// <param name="Why">Why; needed for all but acknowledging and taking back.</param>
/// <param name="Raised">
/// For acknowledging and resetting: when the alarm came that is meant, UTC. It holds for that one alone, so that readings
/// which come late cannot bring an alarm that counts as seen though nobody saw it.
/// </param>
/// <param name="Until">For a shelf: when it ends, UTC.</param>
public sealed record AlarmAction(
    string VesselId, AlarmKind Kind, DateTimeOffset At, AlarmEvent What, string By, string Why, DateTimeOffset? Raised, DateTimeOffset? Until);
