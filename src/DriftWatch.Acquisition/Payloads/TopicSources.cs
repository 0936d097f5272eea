using System.Diagnostics.CodeAnalysis;
using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>What the register says of one topic: its signals by name, or the one signal it carries.</summary>
internal sealed class TopicSources
{
    private readonly List<MappedSource> _mapped = [];
    private readonly Dictionary<byte[], NamedSource> _byName = new(Utf8Comparer.Instance);
    private readonly Dictionary<byte[], NamedSource>.AlternateLookup<ReadOnlySpan<byte>> _lookup;

    public TopicSources() => _lookup = _byName.GetAlternateLookup<ReadOnlySpan<byte>>();

    /// <summary>The form of the payloads.</summary>
    public required SourceFormat Format { get; init; }

    /// <summary>The same signals by their place in plain JSON, where the register maps any of them so; else empty.</summary>
    public IReadOnlyList<MappedSource> Mapped => _mapped;

    /// <summary>The signal of a topic that carries no other and names none.</summary>
    public NamedSource? Nameless { get; private set; }

    /// <summary>The signals that have a name.</summary>
    public IEnumerable<NamedSource> Named => _byName.Values;

    /// <summary>The names known, for messages.</summary>
    public string Names => string.Join(", ", _byName.Keys.Select(System.Text.Encoding.UTF8.GetString));

    /// <summary>Takes the sources of the topic in.</summary>
    public void Add(IReadOnlyCollection<(SignalSource Source, DoorEntry Entry)> all)
    {
        bool mapped = all.Any(one => one.Source.IsMapped);
        foreach ((SignalSource source, DoorEntry entry) in all)
        {
            if (source.Value is null)
            {
                Add(source.Name, entry);
            }

            if (mapped)
            {
                // Without name and pointer the value stands in the field 'value', as in unmapped JSON.
                _mapped.Add(new MappedSource(
                    entry, source.Value ?? JsonPointer.ToMember(source.Name ?? "value"), source.Time, source.Records,
                    source.TimeFormat, EachOfArray: source.Value is null));
            }
        }
    }

    private void Add(string? name, DoorEntry entry)
    {
        if (name is null)
        {
            Nameless = new NamedSource([], entry);
        }
        else
        {
            byte[] utf8 = System.Text.Encoding.UTF8.GetBytes(name);
            _byName.Add(utf8, new NamedSource(utf8, entry));
        }
    }

    public bool TryFind(ReadOnlySpan<byte> name, [NotNullWhen(true)] out NamedSource? source) => _lookup.TryGetValue(name, out source);

    /// <summary>Names in UTF-8, looked up from a stretch of payload without making a string.</summary>
    private sealed class Utf8Comparer : IEqualityComparer<byte[]>, IAlternateEqualityComparer<ReadOnlySpan<byte>, byte[]>
    {
        public static readonly Utf8Comparer Instance = new();

        public bool Equals(byte[]? x, byte[]? y) => x.AsSpan().SequenceEqual(y);

        public int GetHashCode(byte[] obj) => GetHashCode(obj.AsSpan());

        public bool Equals(ReadOnlySpan<byte> alternate, byte[] other) => alternate.SequenceEqual(other);

        public int GetHashCode(ReadOnlySpan<byte> alternate)
        {
            HashCode hash = default;
            hash.AddBytes(alternate);
            return hash.ToHashCode();
        }

        public byte[] Create(ReadOnlySpan<byte> alternate) => alternate.ToArray();
    }
}
