using System.Globalization;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Advice;

/// <summary>By when the work should be done, and why then.</summary>
/// <param name="Instant">The date, UTC.</param>
/// <param name="Reason">Why that date.</param>
public readonly record struct DueDate(DateTimeOffset Instant, string Reason)
{
    private static readonly TimeSpan Soon = TimeSpan.FromDays(2);
    private static readonly TimeSpan Week = TimeSpan.FromDays(7);
    private static readonly TimeSpan Fortnight = TimeSpan.FromDays(14);
    private static readonly TimeSpan Farthest = TimeSpan.FromDays(90);

    /// <summary>The due date of a job.</summary>
    /// <param name="cause">Why it is raised.</param>
    /// <param name="assessment">The assessment that raises it.</param>
    /// <param name="separatorSuspect">Whether nearly all gas is gone, so that the separator may have failed.</param>
    public static DueDate Of(JobCause cause, Assessment assessment, bool separatorSuspect)
    {
        DateTimeOffset now = assessment.AsOf;
        switch (cause)
        {
            case JobCause.BelowLowerLimit:
                return separatorSuspect
                    ? new DueDate(now + Soon, "Nearly all gas is gone: the separator may have failed and fluid may stand in the gas side.")
                    : new DueDate(now + Week, "The precharge is below its lower limit already.");
            case JobCause.AboveUpperLimit:
                return new DueDate(now + Fortnight, "The precharge is above its upper limit.");
            case JobCause.NoWindowTooLong:
                return new DueDate(now + Fortnight, "Nothing is known of the precharge until it is checked by hand.");
            default:
                return BeforeCrossing(assessment, now);
        }
    }

    private static DueDate BeforeCrossing(Assessment assessment, DateTimeOffset now)
    {
        if (assessment.Forecast?.Earliest is not { } earliest)
        {
            return new DueDate(now + Week, "A sudden loss: when the lower limit is reached cannot be foretold.");
        }

        string day = earliest.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture);
        if (earliest < now + Soon)
        {
            return new DueDate(now + Soon, $"The lower limit may be reached at any time (earliest credible date {day}).");
        }

        return earliest > now + Farthest
            ? new DueDate(now + Farthest, $"The lower limit is not expected before {day}; the leak is to be found within 90 days.")
            : new DueDate(earliest, $"Earliest credible date at which the lower limit is reached.");
    }
}
