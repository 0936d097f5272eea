namespace DriftWatch.Plant.Register;

/// <summary>When the plant can be worked on, for the due dates of jobs.</summary>
/// <param name="PlannedStops">Instants (UTC, ascending) at which planned stops begin.</param>
/// <param name="LeadTime">Time that the maintenance needs to prepare a job; zero or more.</param>
/// <param name="PrognosisShift">A job is renewed when its earliest credible crossing has moved by more than this; above zero.</param>
public sealed record PlantCalendar(IReadOnlyList<DateTimeOffset> PlannedStops, TimeSpan LeadTime, TimeSpan PrognosisShift)
{
    /// <summary>After this time a job that was declined is raised again, though nothing has changed; above zero.</summary>
    public TimeSpan RaiseDeclinedAfter { get; init; } = TimeSpan.FromDays(30);

    /// <summary>No planned stops, no lead time; a job is renewed when the prognosis moves by more than a week.</summary>
    public static PlantCalendar Default { get; } = new([], TimeSpan.Zero, TimeSpan.FromDays(7));

    /// <summary>The first planned stop that leaves the lead time and is not later than an instant; null for none.</summary>
    public DateTimeOffset? StopBefore(DateTimeOffset latest, DateTimeOffset now)
    {
        foreach (DateTimeOffset stop in PlannedStops)
        {
            if (stop >= now + LeadTime && stop > now)
            {
                return stop <= latest ? stop : null;
            }
        }

        return null;
    }
}
