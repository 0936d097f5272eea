namespace DriftWatch.Plant.Alarms;

/// <summary>The alarm conditions of a vessel; a kind that is not listed is off.</summary>
/// <param name="Listed">Those that stand, wait or are suppressed, in the order of their kinds.</param>
public sealed record AlarmConditions(IReadOnlyList<AlarmCondition> Listed)
{
    /// <summary>All off.</summary>
    public static AlarmConditions Start { get; } = new([]);

    /// <summary>The next moment at which a delay ends, UTC; null when none runs.</summary>
    /// <param name="handling">The delays.</param>
    public DateTimeOffset? NextDeadline(AlarmHandling handling)
    {
        DateTimeOffset? next = null;
        foreach (AlarmCondition condition in Listed)
        {
            if (condition.Deadline(handling) is { } deadline && !(deadline >= next))
            {
                next = deadline;
            }
        }

        return next;
    }
}
