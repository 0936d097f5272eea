using System.Globalization;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Files;

/// <summary>Reads the times of logger files, each by itself.</summary>
internal sealed class LoggerClock(LoggerProfile profile)
{
    /// <param name="text">The time as it stands in the file.</param>
    /// <param name="instant">The instant it names; the earlier one where it names two.</param>
    /// <param name="overlap">
    /// How much later the other instant is that it names as well, in the hour that comes twice in autumn; else 0. Only the rows
    /// around it tell which is meant: <see cref="DoubledHour"/>.
    /// </param>
    /// <returns>Null, or why the text names no instant.</returns>
    public string? TryRead(ReadOnlySpan<char> text, out DateTimeOffset instant, out TimeSpan overlap)
    {
        text = text.Trim();
        overlap = TimeSpan.Zero;
        if (profile.TimeFormat is null)
        {
            return Rfc3339.TryParse(text, out instant)
                ? null
                : $"the time '{Short(text)}' names no instant; RFC 3339 with an offset is read, like 2025-06-03T07:30:00Z";
        }

        if (profile.TimeFormat is LoggerTimeFormat.EpochSeconds or LoggerTimeFormat.EpochMilliseconds)
        {
            SourceTime count = profile.TimeFormat == LoggerTimeFormat.EpochSeconds ? SourceTime.EpochSeconds : SourceTime.EpochMilliseconds;
            instant = default;
            return decimal.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out decimal number)
                && EventTime.TryFromCount(number, count, out instant)
                ? null
                : NotByFormat(text);
        }

        if (profile.Zone is null)
        {
            if (!DateTimeOffset.TryParseExact(text, profile.TimeFormat, CultureInfo.InvariantCulture, DateTimeStyles.None, out instant))
            {
                return NotByFormat(text);
            }

            instant = WholeMicrosecond(instant.UtcTicks);
            return null;
        }

        instant = default;
        if (!DateTime.TryParseExact(text, profile.TimeFormat, CultureInfo.InvariantCulture, DateTimeStyles.None, out DateTime local))
        {
            return NotByFormat(text);
        }

        local = DateTime.SpecifyKind(local, DateTimeKind.Unspecified);
        if (profile.Zone.IsInvalidTime(local))
        {
            return $"the time '{Short(text)}' does not exist in {profile.Zone.Id}: the clock is put forward over it; set the logger to UTC";
        }

        long ticks = local.Ticks - profile.Zone.GetUtcOffset(local).Ticks;
        if (profile.Zone.IsAmbiguousTime(local))
        {
            // The larger offset is summer time, which comes first.
            TimeSpan[] offsets = profile.Zone.GetAmbiguousTimeOffsets(local);
            ticks = local.Ticks - offsets.Max().Ticks;
            overlap = offsets.Max() - offsets.Min();
        }

        if (ticks < DateTime.MinValue.Ticks || ticks > DateTime.MaxValue.Ticks)
        {
            return NotByFormat(text);
        }

        instant = WholeMicrosecond(ticks);
        return null;
    }

    private string NotByFormat(ReadOnlySpan<char> text) => $"the time '{Short(text)}' is not written as '{profile.TimeFormat}'";

    private static string Short(ReadOnlySpan<char> text) => text[..Math.Min(text.Length, 60)].ToString();

    private static DateTimeOffset WholeMicrosecond(long utcTicks) =>
        new(utcTicks / TimeSpan.TicksPerMicrosecond * TimeSpan.TicksPerMicrosecond, TimeSpan.Zero);
}
