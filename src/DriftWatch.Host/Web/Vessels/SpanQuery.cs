using System.Globalization;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Vessels;

/// <summary>A span of time that a reader asks for: days, or instants in RFC 3339. An end left out is open.</summary>
/// <param name="From">First instant, itself included; null for the beginning.</param>
/// <param name="To">Last instant, itself included; null for the end.</param>
public readonly record struct SpanQuery(DateTimeOffset? From, DateTimeOffset? To)
{
    public bool Holds(DateTimeOffset instant) => (From is not { } from || instant >= from) && (To is not { } to || instant <= to);

    /// <summary>Reads <c>from</c> and <c>to</c>; faults are named by their parameter.</summary>
    public static SpanQuery Read(IQueryCollection query, Dictionary<string, string[]> faults)
    {
        DateTimeOffset? from = Instant(query, "from", endOfDay: false, faults);
        DateTimeOffset? to = Instant(query, "to", endOfDay: true, faults);
        if (from > to)
        {
            faults["from"] = ["It lies after 'to': give a span that begins before it ends."];
        }

        return new SpanQuery(from, to);
    }

    private static DateTimeOffset? Instant(IQueryCollection query, string name, bool endOfDay, Dictionary<string, string[]> faults)
    {
        string text = query[name].FirstOrDefault()?.Trim() ?? "";
        if (text.Length == 0)
        {
            return null;
        }

        if (DateOnly.TryParseExact(text, "yyyy-MM-dd", CultureInfo.InvariantCulture, DateTimeStyles.None, out DateOnly day))
        {
            return new DateTimeOffset(day.ToDateTime(endOfDay ? TimeOnly.MaxValue : TimeOnly.MinValue, DateTimeKind.Utc));
        }

        string[] formats = ["yyyy-MM-dd'T'HH:mm:ssK", "yyyy-MM-dd'T'HH:mm:ss.FFFFFFFK"];
        if (text[^1] is 'Z' or >= '0' and <= '9' && text.Length > 19
            && DateTimeOffset.TryParseExact(text, formats, CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal, out DateTimeOffset instant))
        {
            return instant.ToUniversalTime();
        }

        faults[name] = [$"'{(text.Length <= 40 ? text : text[..40] + "...")}' is no day (2026-03-31) and no instant with its offset (2026-03-31T12:00:00Z)."];
        return null;
    }
}
