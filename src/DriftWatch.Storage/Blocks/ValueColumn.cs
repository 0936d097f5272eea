using DriftWatch.Plant.Register;

namespace DriftWatch.Storage.Blocks;

/// <summary>
/// Values as they came from a transmitter: a number with few decimals in some unit, made SI by the unit's own arithmetic.
/// Where one unit and number of decimals gives back every value of the column to the bit, the whole numbers are kept as
/// differences; otherwise the bits, each against the value before it.
/// </summary>
internal static class ValueColumn
{
    private const byte AsBits = 0;
    private const byte AsDecimals = 1;
    private const int MostDecimals = 6;

    /// <summary>Beyond it not every whole number is a double.</summary>
    private const double LargestWhole = 1L << 53;

    private static readonly double[] PowersOfTen = [1, 10, 100, 1e3, 1e4, 1e5, 1e6];

    public static void Write(ByteWriter writer, ReadOnlySpan<double> values)
    {
        if (Decimals(values) is { } decimals)
        {
            writer.Byte(AsDecimals);
            writer.Byte((byte)decimals.Places);
            writer.Double(decimals.Offset);
            writer.Double(decimals.Factor);
            long before = 0;
            foreach (double value in values)
            {
                long whole = decimals.Whole(value);
                writer.Signed(whole - before);
                before = whole;
            }

            return;
        }

        // Byte by byte across the column: the bytes that hardly change stand together.
        writer.Byte(AsBits);
        for (int shift = 56; shift >= 0; shift -= 8)
        {
            long before = 0;
            foreach (double value in values)
            {
                long bits = BitConverter.DoubleToInt64Bits(value);
                writer.Byte((byte)((bits ^ before) >> shift));
                before = bits;
            }
        }
    }

    public static double[] Read(ref ByteReader reader, int count)
    {
        double[] values = new double[count];
        byte kind = reader.Byte();
        if (kind == AsDecimals)
        {
            int places = reader.Byte();
            if (places > MostDecimals)
            {
                throw new InvalidDataException("A stored block is damaged.");
            }

            Scale scale = new(places, reader.Double(), reader.Double());
            long whole = 0;
            for (int i = 0; i < count; i++)
            {
                whole += reader.Signed();
                values[i] = scale.Value(whole);
            }

            return values;
        }

        if (kind != AsBits)
        {
            throw new InvalidDataException($"A stored block has values of kind {kind}, which this program does not know.");
        }

        long[] bits = new long[count];
        for (int shift = 56; shift >= 0; shift -= 8)
        {
            ReadOnlySpan<byte> part = reader.Take(count);
            for (int i = 0; i < count; i++)
            {
                bits[i] |= (long)part[i] << shift;
            }
        }

        long last = 0;
        for (int i = 0; i < count; i++)
        {
            last ^= bits[i];
            values[i] = BitConverter.Int64BitsToDouble(last);
        }

        return values;
    }

    /// <summary>The fewest decimals, and the unit with them, that give back all values to the bit; null when none does.</summary>
    private static Scale? Decimals(ReadOnlySpan<double> values)
    {
        for (int places = 0; places <= MostDecimals; places++)
        {
            foreach (SourceUnit unit in SourceUnit.Known)
            {
                Scale scale = new(places, unit.Offset, unit.Factor);
                if (scale.Fits(values))
                {
                    return scale;
                }
            }
        }

        return null;
    }

    private readonly record struct Scale(int Places, double Offset, double Factor)
    {
        public double Value(long whole) => ((whole / PowersOfTen[Places]) + Offset) * Factor;

        public long Whole(double value) => (long)Math.Round(((value / Factor) - Offset) * PowersOfTen[Places]);

        public bool Fits(ReadOnlySpan<double> values)
        {
            foreach (double value in values)
            {
                if (!(Math.Abs(((value / Factor) - Offset) * PowersOfTen[Places]) < LargestWhole)
                    || BitConverter.DoubleToInt64Bits(Value(Whole(value))) != BitConverter.DoubleToInt64Bits(value))
                {
                    return false;
                }
            }

            return true;
        }
    }
}
