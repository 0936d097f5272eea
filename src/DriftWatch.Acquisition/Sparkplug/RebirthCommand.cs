using DriftWatch.Acquisition.Sparkplug.Wire;
using Google.Protobuf;

namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>The command that asks a node for its birth certificates anew.</summary>
internal static class RebirthCommand
{
    private const uint Boolean = 11;

    /// <summary>Its payload.</summary>
    public static byte[] Payload(DateTimeOffset now)
    {
        ulong milliseconds = (ulong)now.ToUnixTimeMilliseconds();
        return new Payload
        {
            Timestamp = milliseconds,
            Metrics = { new Metric { Name = "Node Control/Rebirth", Timestamp = milliseconds, Datatype = Boolean, BooleanValue = true } },
        }.ToByteArray();
    }
}
