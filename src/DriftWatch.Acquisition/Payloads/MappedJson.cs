using System.Text.Json;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>
/// Plain JSON whose values and times stand where JSON Pointers of the register say. A source with a name and no pointer takes
/// that field of the object, or of each object of an array.
/// </summary>
internal sealed class MappedJson(TopicSources sources, PayloadIntake intake, PayloadOptions options)
{
    private readonly JsonPointer _usualTime = JsonPointer.ToMember(options.TimeField);

    /// <summary>Reads a payload; the reader stands on its first token.</summary>
    /// <returns>Null, or why the whole payload has to be given up.</returns>
    public string? Read(ref Utf8JsonReader reader)
    {
        using JsonDocument document = JsonDocument.ParseValue(ref reader);
        foreach (MappedSource source in sources.Mapped)
        {
            if (source.Records?.Find(document.RootElement) is null && source.Records is not null)
            {
                intake.Reject(source.Place, $"there is nothing at '{source.Records}', where the records should stand");
            }
            else if (Records(document.RootElement, source) is not { } records)
            {
                Take(source, document.RootElement, 0);
            }
            else if (records.ValueKind != JsonValueKind.Array)
            {
                intake.Reject(source.Place, $"what stands at '{source.Records}' is no array of records");
            }
            else if (records.GetArrayLength() > options.MostRecords)
            {
                return FormattableString.Invariant($"it holds more than {options.MostRecords} records; send smaller ones");
            }
            else
            {
                int index = 0;
                foreach (JsonElement record in records.EnumerateArray())
                {
                    Take(source, record, index++);
                }
            }
        }

        return null;
    }

    /// <summary>The array of records, null where the payload is the one record.</summary>
    private static JsonElement? Records(JsonElement root, MappedSource source) =>
        source.Records is not null ? source.Records.Find(root)
        : source.EachOfArray && root.ValueKind == JsonValueKind.Array ? root
        : null;

    private void Take(MappedSource source, JsonElement record, int index)
    {
        if (source.Value.Find(record) is not { } value)
        {
            Reject(source, index, $"there is nothing at '{source.Value}'");
            return;
        }

        double number;
        switch (value.ValueKind)
        {
            case JsonValueKind.Null:
                return; // no reading, and no fault
            case JsonValueKind.Number:
                value.TryGetDouble(out number);
                break;
            case JsonValueKind.True or JsonValueKind.False when source.Entry.Unit is null:
                number = value.ValueKind == JsonValueKind.True ? 1 : 0;
                break;
            default:
                Reject(source, index, $"what stands at '{source.Value}' is no number");
                return;
        }

        if (TryInstant(source, record, out DateTimeOffset instant) is { } noTime)
        {
            Reject(source, index, noTime);
            return;
        }

        intake.Offer(source.Entry, number, null, instant, index, source.PlaceUtf8);
    }

    private string? TryInstant(MappedSource source, JsonElement record, out DateTimeOffset instant)
    {
        instant = intake.Arrived;
        JsonElement? found = source.TimeFormat == SourceTime.Arrival ? null : (source.Time ?? _usualTime).Find(record);
        if (found is not { } time || time.ValueKind == JsonValueKind.Null)
        {
            return source.Time is not null && source.TimeFormat != SourceTime.Arrival ? $"there is no time at '{source.Time}'"
                : intake.ArrivalIsReadingTime ? null
                : PayloadIntake.NoTime;
        }

        SourceTime format = source.TimeFormat == SourceTime.Recognised ? options.Time : source.TimeFormat;
        return time.ValueKind switch
        {
            JsonValueKind.String when EventTime.MayBeText(format) =>
                Rfc3339.TryParse(time.GetString(), out instant) ? null : EventTime.NoInstant,
            JsonValueKind.Number when EventTime.MayBeNumber(format) =>
                time.TryGetDecimal(out decimal count) && EventTime.TryFromCount(count, format, out instant) ? null : EventTime.NoCalendarInstant,
            _ => EventTime.WrongKind(format),
        };
    }

    private void Reject(MappedSource source, int index, string reason) => intake.RejectRecord(index, source.PlaceUtf8, reason);
}
