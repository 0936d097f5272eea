using System.Globalization;
using System.Text;
using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Alarms;

/// <summary>Alarm notices as text for people.</summary>
internal static class AlarmText
{
    /// <summary>One line that says what it is about.</summary>
    public static string Headline(AlarmNotice notice) =>
        $"{notice.Alarm.VesselId}: {Words(notice.Alarm.Kind.ToString())}, {Words(notice.News.ToString())} (priority {Words(notice.Alarm.Priority.ToString())})";

    /// <summary>One line for many.</summary>
    public static string Headline(IReadOnlyList<AlarmNotice> notices) => string.Create(
        CultureInfo.InvariantCulture,
        $"{notices.Count} alarm notices on {notices.Select(notice => notice.Alarm.VesselId).Distinct(StringComparer.Ordinal).Count()} vessels (highest priority {Words(notices.Max(notice => notice.Alarm.Priority).ToString())})");

    /// <summary>All of them, with the likely common causes first and the cautions last.</summary>
    public static string Plain(IReadOnlyList<AlarmNotice> notices, AlarmFloodRule flood)
    {
        StringBuilder text = new();
        foreach (AlarmGroup group in AlarmFlood.Groups(notices.Select(notice => notice.Alarm), flood).Where(group => group.IsFlood))
        {
            _ = text.Append(CultureInfo.InvariantCulture, $"{group.Alarms.Count} vessels at once: {Words(group.Kind.ToString())}. {group.LikelyCause}\n\n");
        }

        foreach (AlarmNotice notice in notices)
        {
            _ = text.Append(Headline(notice)).Append('\n')
                .Append(CultureInfo.InvariantCulture, $"  {notice.Place}\n  {notice.Alarm.Why}\n")
                .Append(CultureInfo.InvariantCulture, $"  {notice.At.UtcDateTime:yyyy-MM-dd HH:mm 'UTC'} by {notice.By}. {notice.Because}\n\n");
        }

        _ = text.Append("Cautions\n");
        foreach (string caution in SafetyLines.All)
        {
            _ = text.Append("  ").Append(caution).Append('\n');
        }

        return text.ToString();
    }

    private static string Words(string name) => JsonNamingPolicy.KebabCaseLower.ConvertName(name).Replace('-', ' ');
}
