using System.Globalization;

namespace DriftWatch.Plant.Alarms;

/// <summary>
/// All alarms of a plant and their journal: a fold of what the data did and what people did, in order of time. Nothing
/// else is remembered, so the state survives a restart and a replay of the data gives it again.
/// </summary>
public sealed class AlarmBook
{
    private readonly SortedDictionary<(string VesselId, AlarmKind Kind), Alarm> _alarms = new(
        Comparer<(string VesselId, AlarmKind Kind)>.Create((one, other) =>
            string.CompareOrdinal(one.VesselId, other.VesselId) is var order and not 0 ? order : one.Kind.CompareTo(other.Kind)));

    private readonly List<AlarmTransition> _journal = [];
    private readonly List<AlarmAction> _void = [];

    private AlarmBook(DateTimeOffset asOf) => AsOf = asOf;

    /// <summary>The moment that it holds for, UTC.</summary>
    public DateTimeOffset AsOf { get; }

    /// <summary>Alarms that ever came or were set aside, by vessel and kind.</summary>
    public IReadOnlyCollection<Alarm> Alarms => _alarms.Values;

    /// <summary>Transitions in order of time.</summary>
    public IReadOnlyList<AlarmTransition> Journal => _journal;

    /// <summary>Actions that have no place any more since late readings changed what they answered.</summary>
    public IReadOnlyList<AlarmAction> Void => _void;

    /// <summary>The alarm of a vessel and kind.</summary>
    public Alarm Of(string vesselId, AlarmKind kind) =>
        _alarms.TryGetValue((vesselId, kind), out Alarm? alarm) ? alarm : Alarm.Quiet(vesselId, kind);

    /// <summary>The book at a moment.</summary>
    /// <param name="changes">What the data did, in any order of vessels; in order of time for each alarm.</param>
    /// <param name="actions">What people did, in the order in which they did it.</param>
    /// <param name="asOf">The moment, UTC; what is later is left out.</param>
    public static AlarmBook At(IEnumerable<AlarmChange> changes, IEnumerable<AlarmAction> actions, DateTimeOffset asOf)
    {
        var book = new AlarmBook(asOf);
        IEnumerable<(DateTimeOffset At, AlarmChange? Change, AlarmAction? Action)> events =
        [
            .. changes.Select(change => (change.At, (AlarmChange?)change, (AlarmAction?)null)),
            .. actions.Select(action => (action.At, (AlarmChange?)null, (AlarmAction?)action)),
        ];

        // A stable order: of one moment the data come before the people.
        foreach ((DateTimeOffset at, AlarmChange? change, AlarmAction? action) in events.Where(one => one.At <= asOf).OrderBy(one => one.At))
        {
            book.ExpireShelves(at);
            if (change is not null)
            {
                book.Take(change);
            }
            else if (!book.TryTake(action!))
            {
                book._void.Add(action!);
            }
        }

        book.ExpireShelves(asOf);
        return book;
    }

    /// <summary>Why an action has no place now; null when it has.</summary>
    public string? Objection(AlarmAction action)
    {
        Alarm alarm = Of(action.VesselId, action.Kind);
        if (string.IsNullOrWhiteSpace(action.By))
        {
            return "Say who acts.";
        }

        if (action.What is AlarmEvent.Shelve or AlarmEvent.Suppress or AlarmEvent.RemoveFromService && string.IsNullOrWhiteSpace(action.Why))
        {
            return "Give a reason: whoever comes next must know why the alarm is set aside.";
        }

        if (action.What == AlarmEvent.Shelve && !(action.Until > action.At))
        {
            return "A shelf has an end, later than now.";
        }

        if (action.What < AlarmEvent.Acknowledge)
        {
            return $"{action.What} comes from the data, not from people.";
        }

        if (action.What is AlarmEvent.Acknowledge or AlarmEvent.Reset && action.Raised != alarm.Raised)
        {
            return "The alarm that is meant has gone or come anew.";
        }

        return AlarmStateMachine.Next(alarm.Status, action.What, AlarmDefinition.Of(action.Kind).Latching) is null
            ? string.Create(CultureInfo.InvariantCulture, $"{action.What} has no place while alarm {action.Kind} of {action.VesselId} is {alarm.Status.State}.")
            : null;
    }

    private void Take(AlarmChange change)
    {
        Alarm alarm = Of(change.VesselId, change.Kind);
        string by = change.What is AlarmEvent.SuppressedByRule or AlarmEvent.ReleasedByRule ? "design" : "data";
        Alarm after = change.What switch
        {
            AlarmEvent.ConditionOn => alarm with { Raised = change.At, Priority = change.Priority, Why = change.Why },
            AlarmEvent.PriorityRaised => alarm with { Priority = change.Priority, Why = change.Why },
            _ => alarm,
        };
        Move(after, change.What, change.At, by, change.Why);
    }

    private bool TryTake(AlarmAction action)
    {
        if (Objection(action) is not null)
        {
            return false;
        }

        Alarm alarm = Of(action.VesselId, action.Kind);
        Alarm after = action.What switch
        {
            AlarmEvent.Shelve or AlarmEvent.Suppress or AlarmEvent.RemoveFromService =>
                alarm with { SetAsideBy = action.By, SetAsideWhy = action.Why, ShelvedUntil = action.What == AlarmEvent.Shelve ? action.Until : null },
            _ => alarm,
        };
        Move(after, action.What, action.At, action.By, action.Why);
        return true;
    }

    private void ExpireShelves(DateTimeOffset at)
    {
        foreach (Alarm alarm in _alarms.Values.Where(alarm => alarm.ShelvedUntil <= at && alarm.Status.State == AlarmState.Shelved).ToList())
        {
            Move(alarm, AlarmEvent.ShelfExpired, alarm.ShelvedUntil!.Value, "clock", "The time of the shelf is over.");
        }
    }

    private void Move(Alarm alarm, AlarmEvent what, DateTimeOffset at, string by, string why)
    {
        AlarmStatus before = alarm.Status;
        AlarmStatus after = AlarmStateMachine.Next(before, what, AlarmDefinition.Of(alarm.Kind).Latching) ?? before;
        alarm = alarm with { Status = after };
        if (after.State != AlarmState.Shelved)
        {
            alarm = alarm with { ShelvedUntil = null };
        }

        if (!after.IsSetAside)
        {
            alarm = alarm with { SetAsideBy = "", SetAsideWhy = "" };
        }

        _alarms[(alarm.VesselId, alarm.Kind)] = alarm;
        _journal.Add(new AlarmTransition(alarm.VesselId, alarm.Kind, at, what, before.State, after.State, by, why, alarm.Priority));
    }
}
