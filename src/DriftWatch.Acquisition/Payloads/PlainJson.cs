using System.Text.Json;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>
/// Plain JSON: an object, or an array of objects, whose fields the register names, with a field for the time; or a bare
/// number or contact on a topic that carries one signal. Fields that the register does not name are passed over.
/// </summary>
internal sealed class PlainJson(TopicSources sources, PayloadIntake intake, PayloadOptions options)
{
    private readonly List<(NamedSource Source, double Number)> _values = [];

    /// <summary>Reads a payload; the reader stands on its first token.</summary>
    /// <returns>Null, or why the whole payload has to be given up.</returns>
    public string? Read(ref Utf8JsonReader reader)
    {
        switch (reader.TokenType)
        {
            case JsonTokenType.StartObject:
                ReadObject(ref reader, 0);
                return null;
            case JsonTokenType.StartArray:
                for (int index = 0; reader.Read() && reader.TokenType != JsonTokenType.EndArray; index++)
                {
                    if (index == options.MostRecords)
                    {
                        return FormattableString.Invariant($"it holds more than {options.MostRecords} records; send smaller ones");
                    }

                    if (reader.TokenType == JsonTokenType.StartObject)
                    {
                        ReadObject(ref reader, index);
                    }
                    else
                    {
                        intake.RejectRecord(index, default, "it is no object");
                        reader.Skip();
                    }
                }

                return null;
            default:
                return ReadBare(ref reader);
        }
    }

    private string? ReadBare(ref Utf8JsonReader reader)
    {
        if (sources.Nameless is not { } source)
        {
            return $"it is a bare value, and the register names the fields of this topic: {sources.Names}";
        }

        if (!intake.ArrivalIsReadingTime)
        {
            return PayloadIntake.NoTime;
        }

        if (!TryNumber(ref reader, source, out double number, out string? whyNot))
        {
            return whyNot ?? "it is null";
        }

        intake.Offer(source.Entry, number, null, intake.Arrived, 0, default);
        return null;
    }

    private void ReadObject(ref Utf8JsonReader reader, int index)
    {
        _values.Clear();
        DateTimeOffset? instant = null;
        string? timeFault = null;
        bool known = false;
        while (reader.Read() && reader.TokenType == JsonTokenType.PropertyName)
        {
            if (reader.ValueTextEquals(options.TimeField))
            {
                reader.Read();
                (instant, timeFault) = ReadTime(ref reader);
                continue;
            }

            NamedSource? source = Find(ref reader);
            reader.Read();
            if (source is null)
            {
                reader.Skip();
                continue;
            }

            known = true;
            if (TryNumber(ref reader, source, out double number, out string? whyNot))
            {
                _values.Add((source, number));
            }
            else if (whyNot is not null)
            {
                intake.RejectRecord(index, source.Name, whyNot);
            }
        }

        if (!known)
        {
            intake.RejectRecord(index, default, sources.Nameless is null
                ? $"no field of it is named in the register; known here: {sources.Names}"
                : "it has no field 'value', which holds the value where the register names no field");
            return;
        }

        if (timeFault is null && instant is null && !intake.ArrivalIsReadingTime)
        {
            timeFault = PayloadIntake.NoTime;
        }

        if (timeFault is not null)
        {
            intake.RejectRecord(index, default, timeFault);
            return;
        }

        foreach ((NamedSource source, double number) in _values)
        {
            intake.Offer(source.Entry, number, null, instant ?? intake.Arrived, index, source.Name);
        }
    }

    private NamedSource? Find(ref Utf8JsonReader reader)
    {
        if (sources.Nameless is { } nameless)
        {
            return reader.ValueTextEquals("value"u8) ? nameless : null;
        }

        if (!reader.ValueIsEscaped)
        {
            return sources.TryFind(reader.ValueSpan, out NamedSource? source) ? source : null;
        }

        if (reader.ValueSpan.Length > SenmlRecord.LongestName)
        {
            return null;
        }

        Span<byte> room = stackalloc byte[SenmlRecord.LongestName];
        int length = reader.CopyString(room);
        return sources.TryFind(room[..length], out NamedSource? unescaped) ? unescaped : null;
    }

    /// <summary>A number, or a contact as true or false; null tells that there is no reading, and is no fault.</summary>
    private static bool TryNumber(ref Utf8JsonReader reader, NamedSource source, out double number, out string? whyNot)
    {
        number = 0;
        whyNot = null;
        switch (reader.TokenType)
        {
            case JsonTokenType.Number:
                return reader.TryGetDouble(out number);
            case JsonTokenType.True or JsonTokenType.False when source.Entry.Unit is null:
                number = reader.TokenType == JsonTokenType.True ? 1 : 0;
                return true;
            case JsonTokenType.Null:
                return false;
            case JsonTokenType.String:
                whyNot = "its value is a text in quotes; a number is needed";
                return false;
            default:
                whyNot = "its value is no number";
                reader.Skip();
                return false;
        }
    }

    private (DateTimeOffset? Instant, string? Fault) ReadTime(ref Utf8JsonReader reader)
    {
        DateTimeOffset instant;
        switch (reader.TokenType)
        {
            case JsonTokenType.Null:
                return (null, null);
            case JsonTokenType.String when EventTime.MayBeText(options.Time):
                Span<char> room = stackalloc char[EventTime.LongestText];
                return reader.ValueSpan.Length <= room.Length && Rfc3339.TryParse(room[..reader.CopyString(room)], out instant)
                    ? (instant, null)
                    : (null, EventTime.NoInstant);
            case JsonTokenType.Number when EventTime.MayBeNumber(options.Time):
                return reader.TryGetDecimal(out decimal count) && EventTime.TryFromCount(count, options.Time, out instant)
                    ? (instant, null)
                    : (null, EventTime.NoCalendarInstant);
            default:
                reader.Skip();
                return (null, EventTime.WrongKind(options.Time));
        }
    }
}
