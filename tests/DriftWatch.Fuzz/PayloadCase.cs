using CsCheck;

namespace DriftWatch.Fuzz;

/// <summary>One payload on one topic.</summary>
/// <param name="Topic">Topic.</param>
/// <param name="Payload">Bytes.</param>
internal readonly record struct PayloadCase(string Topic, byte[] Payload)
{
    /// <summary>Payloads of the corpus spoilt a little, glued together, or made of nothing but chance.</summary>
    public static Gen<PayloadCase> Of(IReadOnlyList<byte[]> corpus)
    {
        Gen<byte[]> sample = Gen.Int[0, corpus.Count - 1].Select(at => corpus[at]);
        Gen<byte[]> spoilt = Gen.Select(sample, Spoiling.Gen.Array[1, 6]).Select((bytes, spoilings) => spoilings.Aggregate(bytes, (now, spoiling) => spoiling.Spoil(now)));
        Gen<byte[]> glued = Gen.Select(sample, sample, Gen.Int[0, 400], Gen.Int[0, 400], (one, other, to, from) =>
            (byte[])[.. one.AsSpan(0, Math.Min(to, one.Length)), .. other.AsSpan(Math.Min(from, other.Length))]);
        Gen<byte[]> payload = Gen.Frequency((6, spoilt), (2, glued), (1, Gen.Byte.Array[0, 64]), (1, sample));
        return Gen.Select(Gen.Int[0, FuzzRegister.Topics.Length - 1].Select(at => FuzzRegister.Topics[at]), payload, (topic, bytes) => new PayloadCase(topic, bytes));
    }
}
