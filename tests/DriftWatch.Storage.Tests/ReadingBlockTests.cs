using DriftWatch.Plant.Register;
using DriftWatch.Storage.Blocks;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tests;

public sealed class ReadingBlockTests
{
    private const int Day = 1440;

    [Fact]
    public void Any_readings_come_back_to_the_tick_and_the_bit()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        for (int round = 0; round < 300; round++)
        {
            Reading[] readings = Some(random);
            Reading[] back = ReadingBlock.Decode(ReadingBlock.Encode(readings));
            Assert.Equal(readings, back);
            Assert.Equal(
                readings.Select(reading => BitConverter.DoubleToInt64Bits(reading.Value)),
                back.Select(reading => BitConverter.DoubleToInt64Bits(reading.Value)));
        }
    }

    [Theory]
    [InlineData("bar")]
    [InlineData("Cel")]
    [InlineData("degF")]
    [InlineData("psi")]
    public void A_transmitters_decimals_take_few_bytes(string symbol)
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        Assert.True(SourceUnit.TryFind(symbol, out SourceUnit? unit));

        // A minute's reading a day long, resting at 20.00 to 20.09: log2(10) = 3.3 bits of news each.
        Reading[] readings = [.. Enumerable.Range(0, Day).Select(minute =>
            new Reading(Signal.GasPressure, Given.Instant(minute / 60.0), unit.ToSi((2000 + random.Next(10)) / 100.0)))];
        byte[] block = ReadingBlock.Encode(readings);
        Assert.Equal(readings, ReadingBlock.Decode(block));
        Assert.InRange(block.Length, Day * 3.3 / 8, Day * 1.0);
    }

    [Fact]
    public void Nothing_is_a_block_too() => Assert.Empty(ReadingBlock.Decode(ReadingBlock.Encode([])));

    [Fact]
    public void Damaged_bytes_are_told_and_never_read_as_readings()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        byte[] block = ReadingBlock.Encode(Some(random));
        for (int length = 0; length < Math.Min(block.Length, 40); length++)
        {
            Assert.Throws<InvalidDataException>(() => ReadingBlock.Decode(block.AsSpan(0, length)));
        }

        block[0]++;
        InvalidDataException other = Assert.Throws<InvalidDataException>(() => ReadingBlock.Decode(block));
        Assert.Contains("version 2", other.Message, StringComparison.Ordinal);
    }

    /// <summary>Readings as they never come together in one plant: every habit of a source, also the worst.</summary>
    private static Reading[] Some(Random random)
    {
        SortedSet<Reading> readings = [];
        foreach (Signal signal in Enum.GetValues<Signal>().Where(_ => random.Next(4) > 0))
        {
            SourceUnit unit = SourceUnit.Known[random.Next(SourceUnit.Known.Count)];
            int habit = random.Next(5);
            int count = random.Next(1, 200);
            long step = (long)Math.Pow(10, random.NextDouble() * 9);
            long ticks = Given.Instant().UtcTicks;
            for (int i = 0; i < count; i++)
            {
                ticks += random.Next(3) > 0 ? step : 1 + random.NextInt64(step);
                double value = habit switch
                {
                    0 => unit.ToSi(random.Next(-100_000, 100_000) / Math.Pow(10, random.Next(4))),
                    1 => BitConverter.Int64BitsToDouble(random.NextInt64(long.MinValue, long.MaxValue)),
                    2 => (float)(300 + random.NextDouble()),
                    3 => random.Next(2),
                    _ => 1e7 * random.NextDouble(),
                };
                readings.Add(new Reading(signal, new DateTimeOffset(ticks, TimeSpan.Zero), double.IsFinite(value) ? value : double.MaxValue));
            }
        }

        return [.. readings];
    }
}
