using System.Globalization;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Plant.Advice;

/// <summary>By when the work should be done, and why then.</summary>
/// <param name="Instant">The date, UTC: a planned stop where one comes in time, else the latest date.</param>
/// <param name="Latest">The latest date that the condition of the vessel allows, UTC.</param>
/// <param name="PlannedStop">The planned stop chosen, UTC; null for none.</param>
/// <param name="Reason">Why that date.</param>
public readonly record struct DueDate(DateTimeOffset Instant, DateTimeOffset Latest, DateTimeOffset? PlannedStop, string Reason)
{
    private static readonly TimeSpan Soon = TimeSpan.FromDays(2);
    private static readonly TimeSpan Week = TimeSpan.FromDays(7);
    private static readonly TimeSpan Fortnight = TimeSpan.FromDays(14);
    private static readonly TimeSpan Farthest = TimeSpan.FromDays(90);

    /// <summary>The due date of a job.</summary>
    /// <param name="cause">Why it is raised.</param>
    /// <param name="assessment">The assessment that raises or renews it.</param>
    /// <param name="separatorSuspect">Whether nearly all gas is gone, so that the separator may have failed.</param>
    /// <param name="from">From when the time allowed counts, UTC: when the job was raised or became graver.</param>
    /// <param name="calendar">When the plant can be worked on.</param>
    public static DueDate Of(JobCause cause, Assessment assessment, bool separatorSuspect, DateTimeOffset from, PlantCalendar calendar)
    {
        (DateTimeOffset latest, string reason) = Allowed(cause, assessment, separatorSuspect, from);
        if (calendar.StopBefore(latest, assessment.AsOf) is { } stop)
        {
            return new DueDate(stop, latest, stop, $"Planned stop of {DayText.Of(stop)}, in time: latest by {DayText.Of(latest)}. {reason}");
        }

        string noStop = calendar.PlannedStops.Count > 0 ? " No planned stop leaves the lead time and comes before it: it needs a stop of its own." : "";
        string shortLead = latest < assessment.AsOf + calendar.LeadTime
            ? string.Create(CultureInfo.InvariantCulture, $" The lead time of {calendar.LeadTime.TotalDays:0.#} days cannot be kept.")
            : "";
        return new DueDate(latest, latest, null, reason + noStop + shortLead);
    }

    private static (DateTimeOffset Latest, string Reason) Allowed(
        JobCause cause, Assessment assessment, bool separatorSuspect, DateTimeOffset from) => cause switch
        {
            JobCause.BelowLowerLimit when separatorSuspect =>
                (from + Soon, "Nearly all gas is gone: the separator may have failed and fluid may stand in the gas side."),
            JobCause.BelowLowerLimit => (from + Week, "The precharge is below its lower limit already."),
            JobCause.AboveUpperLimit => (from + Fortnight, "The precharge is above its upper limit."),
            JobCause.NoWindowTooLong => (from + Fortnight, "Nothing is known of the precharge until it is checked by hand."),
            JobCause.TransducerDrift => (from + Fortnight, "The trend rests on a transducer that drifts: until it is seen to, only checks by hand tell the precharge."),
            _ => BeforeCrossing(assessment, from),
        };

    private static (DateTimeOffset Latest, string Reason) BeforeCrossing(Assessment assessment, DateTimeOffset from)
    {
        if (assessment.Forecast?.Earliest is not { } earliest)
        {
            return (from + Week, "A sudden loss: when the lower limit is reached cannot be foretold.");
        }

        if (earliest < from + Soon)
        {
            return (from + Soon, $"The lower limit may be reached at any time (earliest credible date {DayText.Of(earliest)}).");
        }

        return earliest > from + Farthest
            ? (from + Farthest, $"The lower limit is not expected before {DayText.Of(earliest)}; the leak is to be found within 90 days.")
            : (earliest, "Earliest credible date at which the lower limit is reached.");
    }
}
