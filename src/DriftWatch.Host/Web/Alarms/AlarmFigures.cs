using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Host.Web.Alarms;

/// <summary>How well the alarms serve over a span, by the measures of IEC 62682.</summary>
public sealed record AlarmFigures(
    DateTimeOffset From,
    DateTimeOffset To,
    int Announced,
    double PerDay,
    int MostInTenMinutes,
    double TenMinuteFloodShare,
    int Standing,
    int StandingMoreThanADay,
    IReadOnlyList<ChatteringAlarm> Chattering,
    int Shelved,
    int SuppressedOrOutOfService,
    int AnnouncedHigh,
    int AnnouncedMedium,
    int AnnouncedLow,
    double ShareOfTheTenMostFrequent)
{
    internal static AlarmFigures Of(AlarmPerformance figures) => new(
        figures.From, figures.To, figures.Announced, figures.PerDay, figures.MostInTenMinutes, figures.TenMinuteFloodShare, figures.Standing, figures.Stale,
        [.. figures.Chattering.Select(alarm => new ChatteringAlarm(alarm.VesselId, alarm.Kind))], figures.Shelved, figures.Suppressed,
        figures.ByPriority[Priority.High], figures.ByPriority[Priority.Medium], figures.ByPriority[Priority.Low], figures.MostFrequent);
}
