namespace DriftWatch.Storage.Blocks;

/// <summary>Ascending instants: the first, the common unit of the steps, and how each step differs from the one before.</summary>
internal static class InstantColumn
{
    public static void Write(ByteWriter writer, ReadOnlySpan<long> ticks)
    {
        if (ticks.IsEmpty)
        {
            return;
        }

        long unit = 0;
        for (int i = 1; i < ticks.Length; i++)
        {
            unit = GreatestCommonDivisor(unit, ticks[i] - ticks[i - 1]);
        }

        unit = Math.Max(unit, 1);
        writer.Signed(ticks[0]);
        writer.Signed(unit);
        long step = 0;
        for (int i = 1; i < ticks.Length; i++)
        {
            long next = (ticks[i] - ticks[i - 1]) / unit;
            writer.Signed(next - step);
            step = next;
        }
    }

    public static long[] Read(ref ByteReader reader, int count)
    {
        if (count == 0)
        {
            return [];
        }

        long[] ticks = new long[count];
        ticks[0] = reader.Signed();
        long unit = reader.Signed();
        long step = 0;
        for (int i = 1; i < count; i++)
        {
            step += reader.Signed();
            ticks[i] = ticks[i - 1] + (step * unit);
        }

        return ticks;
    }

    private static long GreatestCommonDivisor(long a, long b)
    {
        while (b != 0)
        {
            (a, b) = (b, a % b);
        }

        return Math.Abs(a);
    }
}
