using System.Diagnostics.CodeAnalysis;
using DriftWatch.Acquisition.Door;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>What the register says of one topic: its signals by name, or the one signal it carries.</summary>
internal sealed class TopicSources
{
    private readonly Dictionary<byte[], NamedSource> _byName = new(Utf8Comparer.Instance);
    private readonly Dictionary<byte[], NamedSource>.AlternateLookup<ReadOnlySpan<byte>> _lookup;

    public TopicSources() => _lookup = _byName.GetAlternateLookup<ReadOnlySpan<byte>>();

    /// <summary>The signal of a topic that carries no other and names none.</summary>
    public NamedSource? Nameless { get; private set; }

    /// <summary>The names known, for messages.</summary>
    public string Names => string.Join(", ", _byName.Keys.Select(System.Text.Encoding.UTF8.GetString));

    public void Add(string? name, DoorEntry entry)
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
