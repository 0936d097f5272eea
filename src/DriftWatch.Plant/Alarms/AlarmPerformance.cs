using DriftWatch.Plant.Priorities;

namespace DriftWatch.Plant.Alarms;

/// <summary>
/// How well the alarms serve, by the measures of IEC 62682 and ANSI/ISA-18.2 (performance monitoring). An announcement is
/// a transition to 'unacknowledged'. What a vessel announced before it left the register counts; what is set aside because it left does not.
/// </summary>
/// <param name="From">Beginning of the span, UTC, inclusive.</param>
/// <param name="To">Its end, UTC, exclusive.</param>
/// <param name="Announced">Announcements in the span.</param>
/// <param name="PerDay">Announcements a day.</param>
/// <param name="MostInTenMinutes">Most announcements in any ten minutes.</param>
/// <param name="TenMinuteFloodShare">Share of the span's ten-minute periods with more than ten announcements, 0 to 1.</param>
/// <param name="Standing">Alarms whose condition stands at the end and that are not set aside.</param>
/// <param name="Stale">Those of them that have stood for more than a day.</param>
/// <param name="Chattering">Alarms announced three times or more within <see cref="ChatterSpan"/>.</param>
/// <param name="Shelved">Alarms on the shelf at the end.</param>
/// <param name="Suppressed">Alarms suppressed by design or out of service at the end.</param>
/// <param name="ByPriority">Announcements by priority.</param>
/// <param name="MostFrequent">Share of the announcements that the ten most frequent alarms bring, 0 to 1; 0 without any.</param>
public sealed record AlarmPerformance(
    DateTimeOffset From,
    DateTimeOffset To,
    int Announced,
    double PerDay,
    int MostInTenMinutes,
    double TenMinuteFloodShare,
    int Standing,
    int Stale,
    IReadOnlyList<(string VesselId, AlarmKind Kind)> Chattering,
    int Shelved,
    int Suppressed,
    IReadOnlyDictionary<Priority, int> ByPriority,
    double MostFrequent)
{
    private const int ChatterCount = 3;
    private const int FloodCount = 10;
    private const int FrequentCount = 10;
    private static readonly TimeSpan TenMinutes = TimeSpan.FromMinutes(10);
    private static readonly TimeSpan StaleAfter = TimeSpan.FromDays(1);

    /// <summary>
    /// Three announcements within it are chatter. The standards speak of a minute; a precharge is seen some times a day, so
    /// here it is a week.
    /// </summary>
    public static TimeSpan ChatterSpan { get; } = TimeSpan.FromDays(7);

    /// <summary>The figures of a span.</summary>
    /// <param name="book">The alarms and their journal at the end of the span.</param>
    /// <param name="from">Its beginning, UTC, before the moment of the book.</param>
    /// <exception cref="ArgumentOutOfRangeException">The span is empty.</exception>
    public static AlarmPerformance Of(AlarmBook book, DateTimeOffset from)
    {
        if (!(from < book.AsOf))
        {
            throw new ArgumentOutOfRangeException(nameof(from), from, $"The span begins before its end, {book.AsOf:O}.");
        }

        AlarmTransition[] announced = [.. book.Journal.Where(line => line.Announces && line.At >= from && line.At < book.AsOf)];
        DateTimeOffset[] instants = [.. announced.Select(line => line.At)];
        double periods = Math.Max(1, Math.Ceiling((book.AsOf - from) / TenMinutes));
        var byAlarm = announced.GroupBy(line => (line.VesselId, line.Kind)).ToList();
        Alarm[] alarms = [.. book.Alarms.Where(alarm => !book.OfVesselsThatLeft.Contains((alarm.VesselId, alarm.Kind)))];
        Alarm[] standing = [.. alarms.Where(alarm => alarm.Status.ConditionOn && !alarm.Status.IsSetAside)];
        return new AlarmPerformance(
            from,
            book.AsOf,
            announced.Length,
            announced.Length / (book.AsOf - from).TotalDays,
            MostWithin(instants, TenMinutes),
            instants.GroupBy(at => Math.Floor((at - from) / TenMinutes)).Count(period => period.Count() > FloodCount) / periods,
            standing.Length,
            standing.Count(alarm => book.AsOf - alarm.Raised > StaleAfter),
            [.. byAlarm.Where(alarm => MostWithin([.. alarm.Select(line => line.At)], ChatterSpan) >= ChatterCount).Select(alarm => alarm.Key)],
            alarms.Count(alarm => alarm.Status.State == AlarmState.Shelved),
            alarms.Count(alarm => alarm.Status.State is AlarmState.SuppressedByDesign or AlarmState.OutOfService),
            Enum.GetValues<Priority>().ToDictionary(priority => priority, priority => announced.Count(line => line.Priority == priority)),
            announced.Length == 0 ? 0 : byAlarm.Select(alarm => alarm.Count()).OrderDescending().Take(FrequentCount).Sum() / (double)announced.Length);
    }

    /// <summary>Most instants, given in order, within a span that is closed at its beginning and open at its end.</summary>
    private static int MostWithin(DateTimeOffset[] ascending, TimeSpan span)
    {
        int most = 0;
        for (int first = 0, last = 0; last < ascending.Length; last++)
        {
            while (ascending[last] - ascending[first] >= span)
            {
                first++;
            }

            most = Math.Max(most, last - first + 1);
        }

        return most;
    }
}
