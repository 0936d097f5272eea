namespace DriftWatch.Plant.Register;

/// <summary>
/// Instants as RFC 3339 writes them: <c>2025-06-03T07:30:00.25Z</c>. A time without an offset is refused, as it names no
/// instant. Digits beyond the microsecond are dropped, as every instant here is a whole number of microseconds.
/// </summary>
public static class Rfc3339
{
    private const int ShortestLength = 20; // 2025-06-03T07:30:00Z

    /// <summary>Reads an instant; UTC.</summary>
    /// <param name="text">A date-time of RFC 3339 section 5.6; a space may stand for the T.</param>
    /// <param name="instant">The instant, UTC, to the microsecond.</param>
    /// <returns>False where the text is no such date-time, or lies outside the years 1 to 9999.</returns>
    public static bool TryParse(ReadOnlySpan<char> text, out DateTimeOffset instant)
    {
        instant = default;
        if (text.Length < ShortestLength
            || text[4] != '-' || text[7] != '-' || text[10] is not ('T' or 't' or ' ') || text[13] != ':' || text[16] != ':'
            || !TryDigits(text[..4], out int year) || !TryDigits(text[5..7], out int month)
            || !TryDigits(text[8..10], out int day) || !TryDigits(text[11..13], out int hour)
            || !TryDigits(text[14..16], out int minute) || !TryDigits(text[17..19], out int second)
            || year < 1 || month is < 1 or > 12 || day < 1 || day > DateTime.DaysInMonth(year, month)
            || hour > 23 || minute > 59 || second > 60)
        {
            return false;
        }

        int at = 19;
        long microseconds = 0;
        if (text[at] == '.')
        {
            int first = ++at;
            long scale = 100_000;
            for (; at < text.Length && char.IsAsciiDigit(text[at]); at++)
            {
                microseconds += (text[at] - '0') * scale;
                scale /= 10;
            }

            if (at == first)
            {
                return false;
            }
        }

        if (!TryOffsetMinutes(text[at..], out int offsetMinutes))
        {
            return false;
        }

        // A leap second (:60) is taken as the first second of the next minute, as POSIX time does.
        long ticks = new DateTime(year, month, day, hour, minute, 0, DateTimeKind.Utc).Ticks
            + (second * TimeSpan.TicksPerSecond)
            + (microseconds * TimeSpan.TicksPerMicrosecond)
            - (offsetMinutes * TimeSpan.TicksPerMinute);
        if (ticks < 0 || ticks > DateTime.MaxValue.Ticks)
        {
            return false;
        }

        instant = new DateTimeOffset(ticks, TimeSpan.Zero);
        return true;
    }

    private static bool TryOffsetMinutes(ReadOnlySpan<char> text, out int minutes)
    {
        minutes = 0;
        if (text is "Z" or "z")
        {
            return true;
        }

        if (text.Length != 6 || text[0] is not ('+' or '-') || text[3] != ':'
            || !TryDigits(text[1..3], out int hours) || !TryDigits(text[4..], out int rest) || hours > 23 || rest > 59)
        {
            return false;
        }

        minutes = ((hours * 60) + rest) * (text[0] == '-' ? -1 : 1);
        return true;
    }

    private static bool TryDigits(ReadOnlySpan<char> text, out int number)
    {
        number = 0;
        foreach (char c in text)
        {
            if (!char.IsAsciiDigit(c))
            {
                return false;
            }

            number = (number * 10) + (c - '0');
        }

        return true;
    }
}
