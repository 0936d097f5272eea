namespace DriftWatch.Acquisition.Payloads;

/// <summary>One SenML record as it stands in a pack, before it is resolved (RFC 8428 section 4). Used again for each record.</summary>
internal sealed class SenmlRecord
{
    /// <summary>Longest name, and longest base name, that is looked at; bytes of UTF-8.</summary>
    public const int LongestName = 512;

    private readonly byte[] _name = new byte[LongestName];
    private readonly byte[] _baseName = new byte[LongestName];
    private int _nameLength;
    private int _baseNameLength;

    public bool HasName { get; private set; }

    public bool HasBaseName { get; private set; }

    public ReadOnlySpan<byte> Name => _name.AsSpan(0, _nameLength);

    public ReadOnlySpan<byte> BaseName => _baseName.AsSpan(0, _baseNameLength);

    public double? Time { get; set; }

    public double? BaseTime { get; set; }

    public SenmlUnit? Unit { get; set; }

    public SenmlUnit? BaseUnit { get; set; }

    public double? Value { get; set; }

    public double? BaseValue { get; set; }

    public bool? BooleanValue { get; set; }

    /// <summary>Whether there is a text (vs) or data (vd) value.</summary>
    public bool HasOtherValue { get; set; }

    /// <summary>Whether there is a sum (s).</summary>
    public bool HasSum { get; set; }

    public double? BaseVersion { get; set; }

    /// <summary>Number of value fields; at most one is allowed.</summary>
    public int ValueCount { get; set; }

    /// <summary>Why the record cannot be taken, where a field of its own is wrong.</summary>
    public string? Fault { get; set; }

    /// <summary>Room for the name; the caller writes it and says how long it is.</summary>
    public Span<byte> NameRoom => _name;

    /// <summary>Room for the base name.</summary>
    public Span<byte> BaseNameRoom => _baseName;

    public void SetName(int length)
    {
        _nameLength = length;
        HasName = true;
    }

    public void SetBaseName(int length)
    {
        _baseNameLength = length;
        HasBaseName = true;
    }

    public void Clear()
    {
        _nameLength = _baseNameLength = ValueCount = 0;
        HasName = HasBaseName = HasOtherValue = HasSum = false;
        Time = BaseTime = Value = BaseValue = BaseVersion = null;
        Unit = BaseUnit = null;
        BooleanValue = null;
        Fault = null;
    }
}
