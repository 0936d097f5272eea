using System.Text.Json.Serialization;

namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>What is remembered of a node between two runs, as it is written.</summary>
internal static partial class NodeMemory
{
    /// <summary>What its birth certificates said.</summary>
    /// <param name="BirthSequence">Number of the session (bdSeq).</param>
    /// <param name="BirthDigest">Digest of the certificate.</param>
    /// <param name="Register">Digest of the metrics that the register named then.</param>
    /// <param name="Devices">Devices born.</param>
    /// <param name="Aliases">What aliases stand for.</param>
    /// <param name="Former">What they stood for before, in the same session, while messages of then wait.</param>
    internal sealed record Birth(
        ulong? BirthSequence, string? BirthDigest, string Register, string[] Devices, Alias[] Aliases, Alias[] Former);

    /// <summary>What an alias stands for.</summary>
    internal sealed record Alias(ulong Number, string Device, string Name, uint DataType);

    /// <summary>How far its messages were followed.</summary>
    /// <param name="Born">Whether its birth is known.</param>
    /// <param name="Lost">Whether a message was missed since.</param>
    /// <param name="Sequence">Sequence number of the last message.</param>
    /// <param name="Digest">Digest of the last message.</param>
    internal sealed record Progress(bool Born, bool Lost, ulong Sequence, string? Digest);

    /// <summary>A message that waits for a birth certificate.</summary>
    /// <param name="Topic">Its topic.</param>
    /// <param name="Device">Its device; empty for the node itself.</param>
    /// <param name="Arrived">When it came, UTC.</param>
    /// <param name="ArrivalIsReadingTime">Whether that may stand for the time of its readings.</param>
    /// <param name="BirthSequence">Number of the session it is of; null where that is not known.</param>
    /// <param name="Passed">Whether it was sent again and is of those before the last message committed, as far as is known.</param>
    /// <param name="Payload">Its bytes.</param>
    internal sealed record Held(
        string Topic, string Device, DateTimeOffset Arrived, bool ArrivalIsReadingTime, ulong? BirthSequence, bool Passed, byte[] Payload);

    [JsonSerializable(typeof(Birth))]
    [JsonSerializable(typeof(Progress))]
    [JsonSerializable(typeof(Held))]
    internal sealed partial class Json : JsonSerializerContext;
}
