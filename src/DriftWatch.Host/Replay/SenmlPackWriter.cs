using System.Buffers;
using System.Text.Json;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Host.Replay;

/// <summary>Writes readings as a SenML JSON pack (RFC 8428) the way a gateway with a buffer sends them.</summary>
internal static class SenmlPackWriter
{
    /// <summary>A pack of readings; all signals must have a named source.</summary>
    public static byte[] Write(IReadOnlyList<Reading> readings, IReadOnlyDictionary<Signal, SignalSource> sources)
    {
        var buffer = new ArrayBufferWriter<byte>(64 * readings.Count);
        using var json = new Utf8JsonWriter(buffer);
        json.WriteStartArray();
        double baseTime = Seconds(readings[0].Instant);
        bool first = true;
        foreach (Reading reading in readings)
        {
            json.WriteStartObject();
            if (first)
            {
                json.WriteNumber("bt", baseTime);
                first = false;
            }

            json.WriteString("n", sources[reading.Signal].Name);
            json.WriteNumber("t", Seconds(reading.Instant) - baseTime);
            switch (reading.Signal)
            {
                case Signal.Depressurised:
                    json.WriteBoolean("vb", reading.Value != 0);
                    break;
                case Signal.GasTemperature:
                    json.WriteString("u", "K");
                    json.WriteNumber("v", reading.Value);
                    break;
                default:
                    json.WriteString("u", "Pa");
                    json.WriteNumber("v", reading.Value);
                    break;
            }

            json.WriteEndObject();
        }

        json.WriteEndArray();
        json.Flush();
        return buffer.WrittenSpan.ToArray();
    }

    private static double Seconds(DateTimeOffset instant) => (instant - DateTimeOffset.UnixEpoch).TotalSeconds;
}
