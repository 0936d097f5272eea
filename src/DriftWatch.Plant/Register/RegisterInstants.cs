using System.Text.Json;

namespace DriftWatch.Plant.Register;

/// <summary>Reads instants of the register.</summary>
internal static class RegisterInstants
{
    /// <summary>A list of instants, ascending; what is no instant or stands twice is noted.</summary>
    public static List<DateTimeOffset> Read(RegisterObject entry, string name, string what, string example)
    {
        List<DateTimeOffset> instants = [];
        foreach ((string place, JsonElement element) in entry.Array(name, required: false, $"[\"{example}\"]") ?? [])
        {
            if (entry.Text(place, element) is not { } text || Parse(entry, place, text) is not { } instant)
            {
                continue;
            }

            if (instants.Contains(instant))
            {
                entry.Note(place, $"The {what} at {text} is listed twice.", "Remove one of them.");
            }
            else
            {
                instants.Add(instant);
            }
        }

        instants.Sort();
        return instants;
    }

    /// <summary>One instant; null, with the defect noted, when the text names none.</summary>
    public static DateTimeOffset? Parse(RegisterObject entry, string place, string text)
    {
        if (Rfc3339.TryParse(text, out DateTimeOffset instant))
        {
            return instant;
        }

        entry.Note(
            place,
            $"'{text}' names no instant.",
            "Write date, time and offset by RFC 3339, like 2025-06-03T07:30:00Z or 2025-06-03T09:30:00+02:00.");
        return null;
    }
}
