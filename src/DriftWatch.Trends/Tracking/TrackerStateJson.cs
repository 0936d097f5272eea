using System.Text.Json;
using System.Text.Json.Serialization;

namespace DriftWatch.Trends.Tracking;

/// <summary>Writes and reads a tracker's state. Numbers come back bit for bit.</summary>
public static class TrackerStateJson
{
    /// <summary>The state as UTF-8 JSON.</summary>
    public static byte[] Write(TrackerState state) =>
        JsonSerializer.SerializeToUtf8Bytes(state, TrackerStateContext.Default.TrackerState);

    /// <summary>The state from UTF-8 JSON.</summary>
    /// <exception cref="JsonException">Not a state that this version wrote.</exception>
    public static TrackerState Read(ReadOnlySpan<byte> json) =>
        JsonSerializer.Deserialize(json, TrackerStateContext.Default.TrackerState)
        ?? throw new JsonException("The stored state of the vessel is empty.");
}

[JsonSourceGenerationOptions(NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals)]
[JsonSerializable(typeof(TrackerState))]
internal sealed partial class TrackerStateContext : JsonSerializerContext;
