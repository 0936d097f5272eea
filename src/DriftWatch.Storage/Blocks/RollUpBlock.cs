using System.IO.Compression;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Blocks;

/// <summary>The hourly roll-ups of one vessel and day.</summary>
internal static class RollUpBlock
{
    private const byte Version = 1;

    public static IReadOnlyList<HourlyRollUp> Of(IEnumerable<Reading> readings) =>
    [
        .. readings
            .GroupBy(reading => (Hour: reading.Instant.UtcTicks / TimeSpan.TicksPerHour, reading.Signal))
            .OrderBy(hour => hour.Key)
            .Select(hour => new HourlyRollUp(
                hour.Key.Signal,
                new DateTimeOffset(hour.Key.Hour * TimeSpan.TicksPerHour, TimeSpan.Zero),
                hour.Count(),
                hour.Average(reading => reading.Value),
                hour.Min(reading => reading.Value),
                hour.Max(reading => reading.Value))),
    ];

    public static byte[] Encode(IReadOnlyList<HourlyRollUp> hours)
    {
        ByteWriter writer = new();
        writer.Byte(Version);
        writer.Varint((ulong)hours.Count);
        foreach (HourlyRollUp hour in hours)
        {
            writer.Byte((byte)hour.Signal);
            writer.Varint((ulong)(hour.Hour.UtcTicks / TimeSpan.TicksPerHour));
            writer.Varint((ulong)hour.Count);
            writer.Double(hour.Mean);
            writer.Double(hour.Lowest);
            writer.Double(hour.Highest);
        }

        using MemoryStream squeezed = new();
        using (BrotliStream brotli = new(squeezed, CompressionLevel.Optimal))
        {
            brotli.Write(writer.Written);
        }

        return squeezed.ToArray();
    }

    public static IReadOnlyList<HourlyRollUp> Decode(ReadOnlySpan<byte> block)
    {
        using MemoryStream plain = new();
        using (BrotliStream brotli = new(new MemoryStream(block.ToArray()), CompressionMode.Decompress))
        {
            brotli.CopyTo(plain);
        }

        ByteReader reader = new(plain.ToArray());
        if (reader.Byte() is var version and not Version)
        {
            throw new InvalidDataException($"A block of roll-ups has version {version}; this program knows {Version}.");
        }

        var hours = new HourlyRollUp[reader.Count(int.MaxValue)];
        for (int i = 0; i < hours.Length; i++)
        {
            hours[i] = new HourlyRollUp(
                (Signal)reader.Byte(),
                new DateTimeOffset((long)reader.Varint() * TimeSpan.TicksPerHour, TimeSpan.Zero),
                reader.Count(int.MaxValue),
                reader.Double(),
                reader.Double(),
                reader.Double());
        }

        return hours;
    }
}
