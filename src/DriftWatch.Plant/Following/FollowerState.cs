using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Tracking;

namespace DriftWatch.Plant.Following;

/// <summary>All that is remembered of a vessel beside its windows, in one piece that can be stored.</summary>
/// <param name="Version">Version of this form.</param>
/// <param name="Tracker">From readings to points.</param>
/// <param name="Ledger">The job that stands.</param>
public sealed record FollowerState(int Version, TrackerState Tracker, LedgerState Ledger)
{
    private const int CurrentVersion = 1;

    /// <summary>Before the first reading.</summary>
    public static FollowerState Start { get; } = new(CurrentVersion, TrackerState.Start, LedgerState.Start);

    /// <summary>The state as UTF-8 JSON; numbers come back bit for bit.</summary>
    public byte[] ToJson() => JsonSerializer.SerializeToUtf8Bytes(this, FollowerStateContext.Default.FollowerState);

    /// <summary>The state from UTF-8 JSON; null when it was written by another version and has to be made anew from the readings.</summary>
    public static FollowerState? FromJson(ReadOnlySpan<byte> json)
    {
        FollowerState? state = JsonSerializer.Deserialize(json, FollowerStateContext.Default.FollowerState);
        return state?.Version == CurrentVersion ? state : null;
    }
}

[JsonSourceGenerationOptions(NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals)]
[JsonSerializable(typeof(FollowerState))]
internal sealed partial class FollowerStateContext : JsonSerializerContext;
