using System.IO.Compression;
using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Tracking;

namespace DriftWatch.Plant.Following;

/// <summary>All that is remembered of a vessel beside its windows, in one piece that can be stored.</summary>
/// <param name="Version">Version of this form.</param>
/// <param name="Tracker">From readings to points.</param>
/// <param name="Ledger">The jobs that stand.</param>
/// <param name="Alarms">The alarm conditions.</param>
/// <param name="SilenceNoticed">The moment at which silence was noticed last, UTC; the minimum for never.</param>
/// <param name="LastEvent">The last moment at which time alone changed jobs or alarms, UTC; the minimum for never.</param>
public sealed record FollowerState(
    int Version, TrackerState Tracker, LedgerState Ledger, AlarmConditions Alarms, DateTimeOffset SilenceNoticed, DateTimeOffset LastEvent)
{
    private const int CurrentVersion = 10;

    /// <summary>First byte of a compressed state; JSON never begins with it.</summary>
    private const byte Compressed = 1;

    private const int Quality = 5;
    private const int WindowBits = 18;

    /// <summary>Before the first reading.</summary>
    public static FollowerState Start { get; } =
        new(CurrentVersion, TrackerState.Start, LedgerState.Start, AlarmConditions.Start, DateTimeOffset.MinValue, DateTimeOffset.MinValue);

    /// <summary>Up to when it is right, UTC: a reading not after it has come late.</summary>
    [JsonIgnore]
    public DateTimeOffset Instant => LastEvent > Tracker.Last ? LastEvent : Tracker.Last;

    /// <summary>The state as UTF-8 JSON; numbers come back bit for bit.</summary>
    public byte[] ToJson() => JsonSerializer.SerializeToUtf8Bytes(this, FollowerStateContext.Default.FollowerState);

    /// <summary>The state as it is stored: JSON, compressed. The fullest state then takes less than 16 KiB.</summary>
    public byte[] ToStored()
    {
        byte[] json = ToJson();
        byte[] stored = new byte[1 + BrotliEncoder.GetMaxCompressedLength(json.Length)];
        stored[0] = Compressed;
        return BrotliEncoder.TryCompress(json, stored.AsSpan(1), out int length, Quality, WindowBits)
            ? stored[..(1 + length)]
            : throw new InvalidOperationException($"A state of {json.Length} bytes could not be compressed.");
    }

    /// <summary>The state as it was stored; null when it was written by another version and has to be made anew from the readings.</summary>
    /// <exception cref="InvalidDataException">The bytes are damaged: they do not decompress.</exception>
    public static FollowerState? FromStored(ReadOnlySpan<byte> stored)
    {
        if (stored.IsEmpty || stored[0] != Compressed)
        {
            return null;
        }

        using var source = new BrotliStream(new MemoryStream(stored[1..].ToArray()), CompressionMode.Decompress);
        using var json = new MemoryStream();
        source.CopyTo(json);
        return FromJson(json.GetBuffer().AsSpan(0, (int)json.Length));
    }

    /// <summary>The state from UTF-8 JSON; null when it was written by another version and has to be made anew from the readings.</summary>
    public static FollowerState? FromJson(ReadOnlySpan<byte> json)
    {
        using (JsonDocument document = JsonDocument.Parse(json.ToArray()))
        {
            // Another version may lack members that this one cannot do without.
            if (!document.RootElement.TryGetProperty(nameof(Version), out JsonElement version) || version.GetInt32() != CurrentVersion)
            {
                return null;
            }
        }

        return JsonSerializer.Deserialize(json, FollowerStateContext.Default.FollowerState);
    }
}

[JsonSourceGenerationOptions(NumberHandling = JsonNumberHandling.AllowNamedFloatingPointLiterals)]
[JsonSerializable(typeof(FollowerState))]
internal sealed partial class FollowerStateContext : JsonSerializerContext;
