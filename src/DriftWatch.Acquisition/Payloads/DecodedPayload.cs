using System.Globalization;
using DriftWatch.Plant.Readings;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>What became of a payload, besides the readings that were taken from it.</summary>
/// <param name="Taken">Number of readings taken.</param>
/// <param name="RejectedCount">Number of parts that were not taken.</param>
/// <param name="Rejected">The first <see cref="MostDescribed"/> of them.</param>
public readonly record struct DecodedPayload(int Taken, int RejectedCount, IReadOnlyList<RejectedPart> Rejected)
{
    /// <summary>How many rejected parts are described; the rest are counted.</summary>
    public const int MostDescribed = 8;

    /// <summary>
    /// Topic on which a Sparkplug node is to be asked for its birth certificates, as aliases it used are not known for sure;
    /// null where there is no need.
    /// </summary>
    public string? RebirthTopic { get; init; }

    /// <summary>Whether the payload waits, whole, for a Sparkplug birth certificate; <see cref="ReadingDecoder.TakeMemories"/> holds it.</summary>
    public bool Held { get; init; }

    /// <summary>How many of the readings taken, the last of them, are of messages that waited for this one.</summary>
    public int TakenLate { get; init; }

    /// <summary>Messages that waited and cannot be read, with their reasons.</summary>
    public IReadOnlyList<QuarantinedMessage> Late { get; init; } = [];

    /// <summary>Whether the payload has to be set aside for what was not taken.</summary>
    public bool HasRejected => RejectedCount > 0;

    /// <summary>All that was not taken, as one text for the quarantine.</summary>
    public string Reason => string.Join("; ", Rejected) + (RejectedCount > Rejected.Count
        ? string.Create(CultureInfo.InvariantCulture, $"; and {RejectedCount - Rejected.Count} more")
        : "");
}
