using System.Text.Json;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>SenML in its JSON representation (RFC 8428 section 5).</summary>
internal static class SenmlJson
{
    /// <summary>
    /// Whether an array is a SenML pack: its first record holds a SenML label, and no time as plain JSON writes it.
    /// </summary>
    /// <param name="reader">Stands on the start of the array; a copy, so that the caller's stays there.</param>
    /// <param name="timeField">Field of plain JSON that holds the time.</param>
    public static bool IsPack(Utf8JsonReader reader, string timeField)
    {
        if (!reader.Read() || reader.TokenType != JsonTokenType.StartObject)
        {
            return false;
        }

        bool label = false;
        while (reader.Read() && reader.TokenType == JsonTokenType.PropertyName)
        {
            if (reader.ValueTextEquals(timeField))
            {
                return false;
            }

            label |= reader.ValueTextEquals("n"u8) || reader.ValueTextEquals("bn"u8) || reader.ValueTextEquals("v"u8)
                || reader.ValueTextEquals("vb"u8) || reader.ValueTextEquals("vs"u8) || reader.ValueTextEquals("vd"u8)
                || reader.ValueTextEquals("s"u8) || reader.ValueTextEquals("bt"u8) || reader.ValueTextEquals("bu"u8)
                || reader.ValueTextEquals("bv"u8) || reader.ValueTextEquals("bs"u8) || reader.ValueTextEquals("bver"u8);
            reader.Read();
            reader.Skip();
        }

        return label;
    }

    /// <summary>Reads a pack; the reader stands on the start of its array.</summary>
    /// <returns>Null, or why the whole pack has to be given up.</returns>
    public static string? Read(ref Utf8JsonReader reader, SenmlPack pack, PayloadIntake intake, int mostRecords)
    {
        SenmlRecord record = new();
        for (int index = 0; reader.Read() && reader.TokenType != JsonTokenType.EndArray; index++)
        {
            if (index == mostRecords)
            {
                return FormattableString.Invariant($"it holds more than {mostRecords} records; send smaller packs");
            }

            if (reader.TokenType != JsonTokenType.StartObject)
            {
                intake.RejectRecord(index, default, "a SenML record is an object");
                reader.Skip();
                continue;
            }

            record.Clear();
            string? fault = ReadRecord(ref reader, record) ?? pack.Take(record, index);
            if (fault is not null)
            {
                return fault;
            }
        }

        return null;
    }

    private static string? ReadRecord(ref Utf8JsonReader reader, SenmlRecord record)
    {
        while (reader.Read() && reader.TokenType == JsonTokenType.PropertyName)
        {
            string? fault = ReadField(ref reader, record);
            if (fault is not null)
            {
                return fault;
            }
        }

        return null;
    }

    /// <summary>
    /// Reads one field. A wrong field of the record's own spoils the record; a wrong base field spoils the pack, as nothing
    /// after it could be resolved.
    /// </summary>
    private static string? ReadField(ref Utf8JsonReader reader, SenmlRecord record)
    {
        if (reader.ValueTextEquals("n"u8))
        {
            if (TryText(ref reader, record.NameRoom, out int length))
            {
                record.SetName(length);
            }
            else
            {
                record.Fault = SenmlField.WrongText("n");
            }
        }
        else if (reader.ValueTextEquals("v"u8))
        {
            record.ValueCount++;
            record.Value = NumberOrFault(ref reader, record, "v");
        }
        else if (reader.ValueTextEquals("t"u8))
        {
            record.Time = NumberOrFault(ref reader, record, "t");
        }
        else if (reader.ValueTextEquals("u"u8))
        {
            record.Unit = Unit(ref reader);
            record.Fault ??= record.Unit is null ? SenmlField.WrongText("u") : null;
        }
        else if (reader.ValueTextEquals("vb"u8))
        {
            record.ValueCount++;
            reader.Read();
            if (reader.TokenType is JsonTokenType.True or JsonTokenType.False)
            {
                record.BooleanValue = reader.TokenType == JsonTokenType.True;
            }
            else
            {
                record.Fault = "its field 'vb' is neither true nor false";
                reader.Skip();
            }
        }
        else if (reader.ValueTextEquals("vs"u8) || reader.ValueTextEquals("vd"u8))
        {
            record.ValueCount++;
            record.HasOtherValue = true;
            SkipValue(ref reader);
        }
        else if (reader.ValueTextEquals("s"u8))
        {
            record.HasSum = true;
            SkipValue(ref reader);
        }
        else if (reader.ValueTextEquals("bn"u8))
        {
            if (!TryText(ref reader, record.BaseNameRoom, out int length))
            {
                return SenmlField.WrongText("bn");
            }

            record.SetBaseName(length);
        }
        else if (reader.ValueTextEquals("bt"u8))
        {
            record.BaseTime = Number(ref reader);
            return record.BaseTime is null ? SenmlField.WrongNumber("bt") : null;
        }
        else if (reader.ValueTextEquals("bu"u8))
        {
            record.BaseUnit = Unit(ref reader);
            return record.BaseUnit is null ? SenmlField.WrongText("bu") : null;
        }
        else if (reader.ValueTextEquals("bv"u8))
        {
            record.BaseValue = Number(ref reader);
            return record.BaseValue is null ? SenmlField.WrongNumber("bv") : null;
        }
        else if (reader.ValueTextEquals("bver"u8))
        {
            record.BaseVersion = Number(ref reader);
            return record.BaseVersion is null ? SenmlField.WrongNumber("bver") : null;
        }
        else if (reader.ValueSpan.Length > 0 && reader.ValueSpan[^1] == (byte)'_')
        {
            // RFC 8428 section 4.4: a field with this ending has to be understood.
            return $"its field '{reader.GetString()}' has to be understood, as its last character says, and is not";
        }
        else
        {
            // Base sum (bs), update time (ut) and fields of later times say nothing about the value.
            SkipValue(ref reader);
        }

        return null;
    }

    private static void SkipValue(ref Utf8JsonReader reader)
    {
        reader.Read();
        reader.Skip();
    }

    private static double? Number(ref Utf8JsonReader reader)
    {
        reader.Read();
        if (reader.TokenType == JsonTokenType.Number && reader.TryGetDouble(out double number) && double.IsFinite(number))
        {
            return number;
        }

        reader.Skip();
        return null;
    }

    private static double? NumberOrFault(ref Utf8JsonReader reader, SenmlRecord record, string field)
    {
        double? number = Number(ref reader);
        record.Fault ??= number is null ? SenmlField.WrongNumber(field) : null;
        return number;
    }

    private static bool TryText(ref Utf8JsonReader reader, Span<byte> room, out int length)
    {
        reader.Read();
        if (reader.TokenType == JsonTokenType.String && reader.ValueSpan.Length <= room.Length)
        {
            length = reader.CopyString(room);
            return true;
        }

        length = 0;
        reader.Skip();
        return false;
    }

    private static SenmlUnit? Unit(ref Utf8JsonReader reader)
    {
        reader.Read();
        if (reader.TokenType != JsonTokenType.String)
        {
            reader.Skip();
            return null;
        }

        // A character takes at most six bytes as an escape sequence.
        if (reader.ValueSpan.Length > 6 * SenmlField.LongestUnit)
        {
            return new SenmlUnit(null, "(longer than any unit)");
        }

        Span<char> room = stackalloc char[6 * SenmlField.LongestUnit];
        return SenmlField.Unit(room[..reader.CopyString(room)]);
    }
}
