using DriftWatch.Plant.Priorities;

namespace DriftWatch.Plant.Alarms;

/// <summary>What the data did to an alarm. Set by event time, so that a replay of the data gives the same changes.</summary>
/// <param name="VesselId">The vessel.</param>
/// <param name="Kind">The alarm.</param>
/// <param name="At">When, UTC.</param>
/// <param name="What">What happened: one of the events that data may cause.</param>
/// <param name="Priority">Priority of the alarm from then on.</param>
/// <param name="Why">Why, in one sentence.</param>
public sealed record AlarmChange(string VesselId, AlarmKind Kind, DateTimeOffset At, AlarmEvent What, Priority Priority, string Why)
{
    /// <summary>Why what stands for a vessel that left the register ends or is suppressed.</summary>
    public const string VesselLeft = "The vessel is no longer in the register.";
}
