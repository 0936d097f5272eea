using System.Formats.Cbor;
using System.Text.Unicode;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>SenML in its CBOR representation (RFC 8428 section 6): the same records, with whole numbers for the labels.</summary>
internal static class SenmlCbor
{
    /// <summary>The bytes of the tag that only says that CBOR follows (RFC 8949 section 3.4.6).</summary>
    private static ReadOnlySpan<byte> SelfDescribed => [0xD9, 0xD9, 0xF7];

    /// <summary>
    /// Whether a payload is CBOR: an array, a map, or what calls itself CBOR. No text in UTF-8, and so no JSON, begins with
    /// any of these bytes, save for the self-description, whose second and third byte belong to no UTF-8 sequence.
    /// </summary>
    public static bool IsCbor(ReadOnlySpan<byte> payload) =>
        payload.StartsWith(SelfDescribed) || (!payload.IsEmpty && payload[0] is >= 0x80 and <= 0xBF);

    /// <summary>Reads a pack.</summary>
    /// <returns>Null, or why the whole pack has to be given up.</returns>
    /// <exception cref="CborContentException">The bytes are no CBOR.</exception>
    public static string? Read(ReadOnlyMemory<byte> payload, SenmlPack pack, PayloadIntake intake, PayloadOptions options)
    {
        CborReader reader = new(payload, CborConformanceMode.Lax);
        if (payload.Span.StartsWith(SelfDescribed))
        {
            reader.ReadTag();
        }

        if (reader.PeekState() != CborReaderState.StartArray)
        {
            return "a SenML pack in CBOR is an array of records";
        }

        reader.ReadStartArray();
        SenmlRecord record = new();
        for (int index = 0; reader.PeekState() != CborReaderState.EndArray; index++)
        {
            if (index == options.MostRecords)
            {
                return FormattableString.Invariant($"it holds more than {options.MostRecords} records; send smaller packs");
            }

            if (reader.PeekState() != CborReaderState.StartMap)
            {
                intake.RejectRecord(index, default, "a SenML record is a map");
                Skip(reader, options.DeepestNesting);
                continue;
            }

            record.Clear();
            reader.ReadStartMap();
            while (reader.PeekState() != CborReaderState.EndMap)
            {
                if (ReadField(reader, record, options.DeepestNesting) is { } wrong)
                {
                    return wrong;
                }
            }

            reader.ReadEndMap();
            if (pack.Take(record, index) is { } fault)
            {
                return fault;
            }
        }

        reader.ReadEndArray();
        return reader.BytesRemaining > 0 ? "something follows the end of it" : null;
    }

    /// <summary>
    /// Reads one field by its label (RFC 8428 table 4). As in JSON, a wrong field of the record's own spoils the record, and a
    /// wrong base field the pack.
    /// </summary>
    private static string? ReadField(CborReader reader, SenmlRecord record, int deepest)
    {
        if (reader.PeekState() is CborReaderState.TextString or CborReaderState.StartIndefiniteLengthTextString)
        {
            // A label of a later time: passed over, unless it says that it has to be understood (RFC 8428 section 4.4).
            string label = reader.ReadTextString();
            Skip(reader, deepest);
            return label.EndsWith('_') ? $"its field '{label[..Math.Min(label.Length, 60)]}' has to be understood, as its last character says, and is not" : null;
        }

        if (reader.PeekState() is not (CborReaderState.UnsignedInteger or CborReaderState.NegativeInteger))
        {
            Skip(reader, deepest);
            Skip(reader, deepest);
            return "a label in it is neither a whole number nor a text";
        }

        switch (reader.PeekState() == CborReaderState.UnsignedInteger ? (long)Math.Min(reader.ReadUInt64(), 99) : NegativeLabel(reader))
        {
            case 0:
                if (TryText(reader, record.NameRoom, deepest, out int length))
                {
                    record.SetName(length);
                }
                else
                {
                    record.Fault = SenmlField.WrongText("n");
                }

                return null;
            case 1:
                record.Unit = Unit(reader, deepest);
                record.Fault ??= record.Unit is null ? SenmlField.WrongText("u") : null;
                return null;
            case 2:
                record.ValueCount++;
                record.Value = NumberOrFault(reader, record, "v", deepest);
                return null;
            case 4:
                record.ValueCount++;
                if (reader.PeekState() == CborReaderState.Boolean)
                {
                    record.BooleanValue = reader.ReadBoolean();
                }
                else
                {
                    record.Fault = "its field 'vb' is neither true nor false";
                    Skip(reader, deepest);
                }

                return null;
            case 3 or 8:
                record.ValueCount++;
                record.HasOtherValue = true;
                Skip(reader, deepest);
                return null;
            case 5:
                record.HasSum = true;
                Skip(reader, deepest);
                return null;
            case 6:
                record.Time = NumberOrFault(reader, record, "t", deepest);
                return null;
            case -1:
                record.BaseVersion = Number(reader, deepest);
                return record.BaseVersion is null ? SenmlField.WrongNumber("bver") : null;
            case -2:
                if (!TryText(reader, record.BaseNameRoom, deepest, out int baseLength))
                {
                    return SenmlField.WrongText("bn");
                }

                record.SetBaseName(baseLength);
                return null;
            case -3:
                record.BaseTime = Number(reader, deepest);
                return record.BaseTime is null ? SenmlField.WrongNumber("bt") : null;
            case -4:
                record.BaseUnit = Unit(reader, deepest);
                return record.BaseUnit is null ? SenmlField.WrongText("bu") : null;
            case -5:
                record.BaseValue = Number(reader, deepest);
                return record.BaseValue is null ? SenmlField.WrongNumber("bv") : null;
            default:
                // Base sum (-6), update time (7) and what the table does not list say nothing about the value.
                Skip(reader, deepest);
                return null;
        }
    }

    /// <summary>A label below 0; those beyond the table are all alike.</summary>
    private static long NegativeLabel(CborReader reader)
    {
        // The representation holds -1 minus the number.
        ulong distance = reader.ReadCborNegativeIntegerRepresentation();
        return distance < 99 ? -1 - (long)distance : -99;
    }

    private static double? NumberOrFault(CborReader reader, SenmlRecord record, string field, int deepest)
    {
        double? number = Number(reader, deepest);
        record.Fault ??= number is null ? SenmlField.WrongNumber(field) : null;
        return number;
    }

    /// <summary>A whole number, a floating-point number or a decimal fraction (tag 4); null, passed over, for anything else.</summary>
    private static double? Number(CborReader reader, int deepest)
    {
        switch (reader.PeekState())
        {
            case CborReaderState.UnsignedInteger:
                return reader.ReadUInt64();
            case CborReaderState.NegativeInteger:
                return -1d - reader.ReadCborNegativeIntegerRepresentation();
            case CborReaderState.HalfPrecisionFloat or CborReaderState.SinglePrecisionFloat or CborReaderState.DoublePrecisionFloat:
                double number = reader.ReadDouble();
                return double.IsFinite(number) ? number : null;
            case CborReaderState.Tag when reader.PeekTag() == CborTag.DecimalFraction:
                try
                {
                    return (double)reader.ReadDecimal();
                }
                catch (OverflowException)
                {
                    // A decimal fraction beyond 28 digits; the reader stays before it.
                    Skip(reader, deepest);
                    return null;
                }

            default:
                Skip(reader, deepest);
                return null;
        }
    }

    private static bool TryText(CborReader reader, Span<byte> room, int deepest, out int length)
    {
        length = 0;
        switch (reader.PeekState())
        {
            case CborReaderState.TextString:
                ReadOnlySpan<byte> utf8 = reader.ReadDefiniteLengthTextStringBytes().Span;
                length = utf8.Length;
                return Utf8.IsValid(utf8) && utf8.TryCopyTo(room);
            case CborReaderState.StartIndefiniteLengthTextString:
                return System.Text.Encoding.UTF8.TryGetBytes(reader.ReadTextString(), room, out length);
            default:
                Skip(reader, deepest);
                return false;
        }
    }

    private static SenmlUnit? Unit(CborReader reader, int deepest)
    {
        Span<byte> room = stackalloc byte[SenmlRecord.LongestName];
        if (!TryText(reader, room, deepest, out int length))
        {
            return null;
        }

        return SenmlField.Unit(System.Text.Encoding.UTF8.GetString(room[..length]));
    }

    /// <summary>Passes over one value, and no deeper than allowed: the reader's own way over it has no such bound.</summary>
    private static void Skip(CborReader reader, int deepest)
    {
        int depth = reader.CurrentDepth;
        bool tagged;
        do
        {
            tagged = false;
            switch (reader.PeekState())
            {
                case CborReaderState.StartArray:
                    reader.ReadStartArray();
                    break;
                case CborReaderState.StartMap:
                    reader.ReadStartMap();
                    break;
                case CborReaderState.EndArray:
                    reader.ReadEndArray();
                    break;
                case CborReaderState.EndMap:
                    reader.ReadEndMap();
                    break;
                case CborReaderState.Tag:
                    reader.ReadTag();
                    tagged = true; // and the value it belongs to is still to come
                    break;
                default:
                    reader.SkipValue();
                    break;
            }

            if (reader.CurrentDepth > deepest)
            {
                throw new CborContentException(FormattableString.Invariant($"it nests deeper than {deepest} levels"));
            }
        }
        while (tagged || reader.CurrentDepth > depth);
    }
}
