namespace DriftWatch.Plant.Alarms;

/// <summary>One line of the alarm journal.</summary>
/// <param name="VesselId">The vessel.</param>
/// <param name="Kind">The alarm.</param>
/// <param name="At">When, UTC.</param>
/// <param name="What">The event.</param>
/// <param name="From">State before.</param>
/// <param name="To">State after.</param>
/// <param name="By">Who: a person, or 'data', 'design' or 'clock'.</param>
/// <param name="Why">Why.</param>
/// <param name="Priority">Priority from then on.</param>
public sealed record AlarmTransition(
    string VesselId, AlarmKind Kind, DateTimeOffset At, AlarmEvent What, AlarmState From, AlarmState To, string By, string Why, Priorities.Priority Priority)
{
    /// <summary>Whether it announces the alarm to people: the state becomes 'unacknowledged'.</summary>
    public bool Announces => To == AlarmState.Unacknowledged && From != AlarmState.Unacknowledged;
}
