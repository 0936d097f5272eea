using System.IO.Compression;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Blocks;

/// <summary>
/// The readings of one vessel and one day in few bytes, lossless to the tick and the bit. Each signal is a column of
/// instants (differences of differences, which are mostly zero) and a column of values (see <see cref="ValueColumn"/>);
/// the whole is squeezed once more by Brotli (RFC 7932).
/// </summary>
public static class ReadingBlock
{
    private const byte Version = 1;

    /// <summary>Brotli's setting: higher ones take several times as long for a few per cent.</summary>
    private const int Quality = 5;

    private const int WindowBits = 18;

    /// <summary>Encodes readings.</summary>
    /// <param name="readings">In the order of <see cref="Reading.CompareTo"/>, each (signal, instant) once; may be empty.</param>
    public static byte[] Encode(IReadOnlyList<Reading> readings)
    {
        ByteWriter writer = new();
        Signal[] signals = [.. readings.Select(reading => reading.Signal).Distinct().Order()];
        writer.Varint((ulong)signals.Length);
        foreach (Signal signal in signals)
        {
            Reading[] column = [.. readings.Where(reading => reading.Signal == signal)];
            writer.Byte((byte)signal);
            writer.Varint((ulong)column.Length);
            InstantColumn.Write(writer, Array.ConvertAll(column, reading => reading.Instant.UtcTicks));
            ValueColumn.Write(writer, Array.ConvertAll(column, reading => reading.Value));
        }

        byte[] squeezed = new byte[BrotliEncoder.GetMaxCompressedLength(writer.Length) + 6];
        ByteWriter head = new();
        head.Byte(Version);
        head.Varint((ulong)writer.Length);
        head.Written.CopyTo(squeezed);
        return BrotliEncoder.TryCompress(writer.Written, squeezed.AsSpan(head.Length), out int written, Quality, WindowBits)
            ? squeezed[..(head.Length + written)]
            : throw new InvalidOperationException("A block does not fit the room that the encoder asked for.");
    }

    /// <summary>Decodes readings, in the order of <see cref="Reading.CompareTo"/>.</summary>
    /// <exception cref="InvalidDataException">The bytes are no block, or one of another version.</exception>
    public static Reading[] Decode(ReadOnlySpan<byte> block)
    {
        ByteReader head = new(block);
        byte version = head.Byte();
        if (version != Version)
        {
            throw new InvalidDataException($"A block of readings has version {version}; this program knows {Version}.");
        }

        byte[] columns = new byte[head.Count(int.MaxValue)];
        if (!BrotliDecoder.TryDecompress(head.Rest, columns, out int written) || written != columns.Length)
        {
            throw new InvalidDataException("A block of readings is damaged.");
        }

        ByteReader reader = new(columns);
        List<Reading> readings = [];
        int signals = reader.Count(byte.MaxValue);
        for (int i = 0; i < signals; i++)
        {
            var signal = (Signal)reader.Byte();
            int count = reader.Count(int.MaxValue);
            long[] instants = InstantColumn.Read(ref reader, count);
            double[] values = ValueColumn.Read(ref reader, count);
            for (int k = 0; k < count; k++)
            {
                readings.Add(new Reading(signal, new DateTimeOffset(instants[k], TimeSpan.Zero), values[k]));
            }
        }

        Reading[] ordered = [.. readings];
        Array.Sort(ordered);
        return ordered;
    }
}
