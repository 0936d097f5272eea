using System.Globalization;

namespace DriftWatch.Plant.Alarms;

/// <summary>
/// All alarms of a plant and their journal: a fold of what the data did and what people did, in order of time. Nothing
/// else is remembered, so the state survives a restart and a replay of the data gives it again.
/// </summary>
public sealed class AlarmBook
{
    private static readonly Comparer<(string VesselId, AlarmKind Kind)> ByVessel = Comparer<(string VesselId, AlarmKind Kind)>.Create((one, other) =>
        string.CompareOrdinal(one.VesselId, other.VesselId) is var order and not 0 ? order : one.Kind.CompareTo(other.Kind));

    private readonly SortedDictionary<(string VesselId, AlarmKind Kind), Alarm> _alarms;
    private readonly SortedSet<(string VesselId, AlarmKind Kind)> _shelved;
    private readonly HashSet<(string VesselId, AlarmKind Kind)> _left;
    private readonly List<AlarmTransition> _journal;
    private readonly List<AlarmAction> _void;

    private AlarmBook(DateTimeOffset asOf)
    {
        AsOf = asOf;
        _alarms = new(ByVessel);
        _shelved = new(ByVessel);
        _left = [];
        _journal = [];
        _void = [];
    }

    /// <summary>The same at another moment: a book that is made does not change.</summary>
    private AlarmBook(AlarmBook book, DateTimeOffset asOf)
    {
        AsOf = asOf;
        (_alarms, _shelved, _left, _journal, _void) = (book._alarms, book._shelved, book._left, book._journal, book._void);
        Until = book.Until;
    }

    /// <summary>The moment that it holds for, UTC.</summary>
    public DateTimeOffset AsOf { get; }

    /// <summary>When the clock alone changes it, by the end of a shelf or by what is dated later, UTC; the maximum for never.</summary>
    public DateTimeOffset Until { get; private set; } = DateTimeOffset.MaxValue;

    /// <summary>Alarms that ever came or were set aside, by vessel and kind.</summary>
    public IReadOnlyCollection<Alarm> Alarms => _alarms.Values;

    /// <summary>Those of them that are suppressed because their vessel left the register.</summary>
    public IReadOnlySet<(string VesselId, AlarmKind Kind)> OfVesselsThatLeft => _left;

    /// <summary>Transitions in order of time.</summary>
    public IReadOnlyList<AlarmTransition> Journal => _journal;

    /// <summary>Actions that have no place any more since late readings changed what they answered.</summary>
    public IReadOnlyList<AlarmAction> Void => _void;

    /// <summary>The alarm of a vessel and kind.</summary>
    public Alarm Of(string vesselId, AlarmKind kind) =>
        _alarms.TryGetValue((vesselId, kind), out Alarm? alarm) ? alarm : Alarm.Quiet(vesselId, kind);

    /// <summary>Whether it is the same at another moment, as long as nothing new happens.</summary>
    public bool HoldsAt(DateTimeOffset asOf) => asOf >= AsOf && asOf < Until;

    /// <summary>The book at another moment at which it holds.</summary>
    /// <exception cref="ArgumentOutOfRangeException">It does not hold then.</exception>
    public AlarmBook As(DateTimeOffset asOf) => HoldsAt(asOf)
        ? new AlarmBook(this, asOf)
        : throw new ArgumentOutOfRangeException(nameof(asOf), asOf, $"The book holds from {AsOf:O} to before {Until:O}: make it anew.");

    /// <summary>The book at a moment.</summary>
    /// <param name="changes">What the data did, in any order of vessels; in order of time for each alarm.</param>
    /// <param name="actions">What people did, in the order in which they did it.</param>
    /// <param name="asOf">The moment, UTC; what is later is left out.</param>
    public static AlarmBook At(IEnumerable<AlarmChange> changes, IEnumerable<AlarmAction> actions, DateTimeOffset asOf)
    {
        var book = new AlarmBook(asOf);
        List<(DateTimeOffset At, AlarmChange? Change, AlarmAction? Action)> events =
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
        book.Until = events.Select(one => one.At).Where(at => at > asOf)
            .Concat(book._shelved.Select(shelved => book._alarms[shelved].ShelvedUntil!.Value))
            .DefaultIfEmpty(DateTimeOffset.MaxValue)
            .Min();
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
        if (change.What is AlarmEvent.SuppressedByRule or AlarmEvent.ReleasedByRule)
        {
            _ = change.What == AlarmEvent.SuppressedByRule && change.Why == AlarmChange.VesselLeft
                ? _left.Add((change.VesselId, change.Kind))
                : _left.Remove((change.VesselId, change.Kind));
        }

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
        foreach (Alarm alarm in _shelved.Select(shelved => _alarms[shelved]).Where(alarm => alarm.ShelvedUntil <= at).ToList())
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
        _ = after.State == AlarmState.Shelved ? _shelved.Add((alarm.VesselId, alarm.Kind)) : _shelved.Remove((alarm.VesselId, alarm.Kind));
        _journal.Add(new AlarmTransition(alarm.VesselId, alarm.Kind, at, what, before.State, after.State, by, why, alarm.Priority));
    }
}
