using System.Buffers;
using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>
/// Resolves the records of one SenML pack (RFC 8428 section 4.6) and offers what the register knows to the door. It knows
/// nothing of how the records were written, so that every representation resolves alike.
/// </summary>
internal sealed class SenmlPack(TopicSources sources, PayloadIntake intake)
{
    /// <summary>Times from here on count from the Unix epoch; below, from now (RFC 8428 section 4.5.3).</summary>
    private const double AbsoluteTimeFrom = 1 << 28;

    /// <summary>Version of RFC 8428, and the default.</summary>
    private const double Version = 10;

    /// <summary>Version 10 with the feature 'secondary units' of RFC 9100 (feature code 4: 10 + 2^4).</summary>
    private const double VersionWithSecondaryUnits = 26;

    private static readonly SearchValues<byte> NameBytes =
        SearchValues.Create("ABCDEFGHIJKLMNOPQRSTUVWXYZabcdefghijklmnopqrstuvwxyz0123456789-:./_"u8);

    private readonly byte[] _name = new byte[2 * SenmlRecord.LongestName];
    private int _baseNameLength;
    private double _baseTime;
    private SenmlUnit? _baseUnit;
    private double? _baseValue;
    private double? _version;
    private byte[]? _onlyName;

    /// <summary>Takes the next record.</summary>
    /// <returns>Null, or why the whole pack has to be given up.</returns>
    public string? Take(SenmlRecord record, int index)
    {
        if (TakeBase(record) is { } fault)
        {
            return fault;
        }

        if (!record.HasName && record.Time is null && record.Unit is null && record.ValueCount == 0 && !record.HasSum && record.Fault is null)
        {
            return null; // base fields only
        }

        record.Name.CopyTo(_name.AsSpan(_baseNameLength));
        ReadOnlySpan<byte> name = _name.AsSpan(0, _baseNameLength + record.Name.Length);
        if ((record.Fault ?? WrongName(name)) is { } wrong)
        {
            intake.RejectRecord(index, name, wrong);
        }
        else if (!TryFind(name, out NamedSource? source, out string? whyNot)
            || !TryValue(record, source.Entry, out double value, out whyNot)
            || !TryUnit(record, source.Entry, out SourceUnit? unit, out whyNot)
            || !TryInstant(record, out DateTimeOffset instant, out whyNot))
        {
            intake.RejectRecord(index, name, whyNot!);
        }
        else
        {
            intake.Offer(source.Entry, value, unit, instant, index, name);
        }

        return null;
    }

    /// <summary>
    /// RFC 8428 section 4.5.1: letters and digits of ASCII and <c>- : . / _</c>, a letter or digit first. No name at all is let be,
    /// for topics that carry one signal.
    /// </summary>
    private static string? WrongName(ReadOnlySpan<byte> name) =>
        name.IsEmpty || (char.IsAsciiLetterOrDigit((char)name[0]) && !name.ContainsAnyExcept(NameBytes))
            ? null
            : "its name holds a character that SenML does not allow: A-Z, a-z, 0-9, - : . / _ are, and the first is a letter or digit";

    private string? TakeBase(SenmlRecord record)
    {
        if (record.BaseVersion is { } version)
        {
            if (!((version >= 1 && version <= Version && version == Math.Floor(version)) || version == VersionWithSecondaryUnits))
            {
                return FormattableString.Invariant($"SenML version (bver) {version} is not known; 1 to 10 and 26 are");
            }

            if (_version is not null && _version != version)
            {
                return FormattableString.Invariant($"the pack names two SenML versions (bver), {_version} and {version}");
            }

            _version = version;
        }

        if (record.HasBaseName)
        {
            record.BaseName.CopyTo(_name);
            _baseNameLength = record.BaseName.Length;
        }

        _baseTime = record.BaseTime ?? _baseTime;
        _baseUnit = record.BaseUnit ?? _baseUnit;
        _baseValue = record.BaseValue ?? _baseValue;
        return null;
    }

    private bool TryFind(ReadOnlySpan<byte> name, [System.Diagnostics.CodeAnalysis.NotNullWhen(true)] out NamedSource? source, out string? whyNot)
    {
        whyNot = null;
        if (sources.TryFind(name, out source))
        {
            return true;
        }

        source = sources.Nameless;
        if (source is null)
        {
            whyNot = $"no vessel of the register takes this name from this topic; known here: {sources.Names}";
            return false;
        }

        // The one signal of the topic takes whatever name the source gives it, but not two of them.
        _onlyName ??= name.ToArray();
        if (name.SequenceEqual(_onlyName))
        {
            return true;
        }

        whyNot = "the pack holds several names, and the register gives this topic one signal without a name; add its name to the register";
        return false;
    }

    private bool TryValue(SenmlRecord record, DoorEntry entry, out double value, out string? whyNot)
    {
        value = 0;
        whyNot = null;
        if (record.ValueCount > 1)
        {
            whyNot = "it has more than one value";
        }
        else if (record.HasOtherValue)
        {
            whyNot = "its value is a text or data (vs, vd); a number (v) is needed";
        }
        else if (record.BooleanValue is { } flag)
        {
            value = flag ? 1 : 0;
            whyNot = entry.Unit is null ? null : "its value is true or false (vb); a number (v) is needed";
        }
        else if (record.Value is null && record.HasSum)
        {
            // With a sum there may be no value (RFC 8428 section 4.2), and a base value is added to one that is there (4.1): it is
            // not the value of a record that only integrates.
            whyNot = "it holds a sum (s) and no value; sums are not used here";
        }
        else if (record.Value is null && _baseValue is null)
        {
            whyNot = "it has no value";
        }
        else
        {
            value = (record.Value ?? 0) + (_baseValue ?? 0);
        }

        return whyNot is null;
    }

    private bool TryUnit(SenmlRecord record, DoorEntry entry, out SourceUnit? unit, out string? whyNot)
    {
        unit = null;
        whyNot = null;
        if ((record.Unit ?? _baseUnit) is not { } given || entry.Unit is null)
        {
            return true;
        }

        unit = given.Known;
        if (unit is null)
        {
            whyNot = $"its unit '{given.Unknown}' is not known";
        }
        else if (unit.Quantity != entry.Unit.Quantity)
        {
            whyNot = $"its unit '{unit.Symbol}' does not fit {entry.Signal}";
        }
        else if (!unit.IsStandardSenml && unit != entry.Unit)
        {
            whyNot = $"its unit '{unit.Symbol}' is in no SenML registry, and the register says '{entry.Unit.Symbol}'; let the two agree";
        }

        return whyNot is null;
    }

    private bool TryInstant(SenmlRecord record, out DateTimeOffset instant, out string? whyNot)
    {
        double time = _baseTime + (record.Time ?? 0);
        whyNot = null;
        instant = default;
        if (time >= AbsoluteTimeFrom)
        {
            if (!UnixTime.TryFromSeconds(time, out instant))
            {
                whyNot = FormattableString.Invariant($"its time {time} s is no instant of the calendar");
            }
        }
        else if (!intake.ArrivalIsReadingTime)
        {
            whyNot = PayloadIntake.NoTime;
        }
        else if (!UnixTime.TryFromSeconds(((intake.Arrived - DateTimeOffset.UnixEpoch).Ticks / (double)TimeSpan.TicksPerSecond) + time, out instant))
        {
            whyNot = FormattableString.Invariant($"its relative time {time} s leads to no instant of the calendar");
        }

        return whyNot is null;
    }
}
