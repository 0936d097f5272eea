using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tests;

public sealed class ReadingTests : IDisposable
{
    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Fact]
    public void Readings_come_back_to_the_tick_and_the_bit_after_reopening()
    {
        double[] values = [0, -0.0, double.Epsilon, double.MaxValue, -double.MaxValue, 1.0 / 3, Math.BitIncrement(1e7), 1, 1e15 + 1];
        VesselReading[] readings = [.. values.Select((value, i) => new VesselReading("V-1", new Reading(Signal.GasPressure, Given.Instant().AddTicks(i), value)))];
        using (PlantStore store = _folder.Open())
        {
            store.Commit(readings);
        }

        using PlantStore reopened = _folder.Open();
        Reading[] held = [.. reopened.ReadingsAfter("V-1", DateTimeOffset.MinValue)];
        Assert.Equal(readings.Select(reading => reading.Reading), held);
        // SQLite keeps a real that is a whole number as an integer, which has no minus zero: the one value that loses its sign.
        Assert.Equal(
            values.Select(value => BitConverter.DoubleToInt64Bits(value == 0 ? 0.0 : value)),
            held.Select(reading => BitConverter.DoubleToInt64Bits(reading.Value)));
    }

    [Fact]
    public void Any_order_of_arrival_gives_the_readings_in_the_one_order_without_doubles()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        Signal[] signals = Enum.GetValues<Signal>();
        VesselReading[] all = [.. Enumerable.Range(0, 3000).Select(_ => new VesselReading(
            $"V-{random.Next(4)}",
            new Reading(signals[random.Next(signals.Length)], Given.Instant(random.Next(200)), random.NextDouble())))];
        using PlantStore store = _folder.Open();
        for (int at = 0; at < all.Length;)
        {
            VesselReading[] batch = all[at..Math.Min(all.Length, at + random.Next(1, 400))];
            store.Commit(batch);
            at += batch.Length;
        }

        foreach (IGrouping<string, VesselReading> vessel in all.GroupBy(reading => reading.VesselId))
        {
            Reading[] expected = [.. vessel.Select(reading => reading.Reading).DistinctBy(reading => (reading.Instant, reading.Signal)).Order()];
            Assert.Equal(expected, store.ReadingsAfter(vessel.Key, DateTimeOffset.MinValue));
            Assert.Equal(expected.Length, store.ReadingCounts().Single(count => count.VesselId == vessel.Key).Count);
            Reading middle = expected[expected.Length / 2];
            Assert.Equal(expected.Where(reading => reading.Instant > middle.Instant), store.ReadingsAfter(vessel.Key, middle.Instant));
        }
    }

    [Fact]
    public void The_reading_held_first_stays()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 0, 1), Given.Reading("V-1", 0, 2));
        store.Commit(Given.Reading("V-1", 0, 3));
        Assert.Equal(1, Assert.Single(store.ReadingsAfter("V-1", DateTimeOffset.MinValue)).Value);
    }

    /// <summary>Among the recent rows, and again among the packed days.</summary>
    [Fact]
    public void A_commit_tells_what_entered_was_repeated_and_differs_and_sets_a_sample_of_that_aside()
    {
        using PlantStore store = _folder.Open();
        VesselReading[] many = [.. Enumerable.Range(0, 100).Select(row => Given.Reading("V-1", row, row))];
        Assert.Equal(new CommittedReadings(100, 0, 0, 0), store.Commit(many, []));
        VesselReading[] again = [.. many[..60], Given.Reading("V-1", 60, 60 * (1 + 1e-12)), Given.Reading("V-1", 70, 71), Given.Reading("V-1", 80, 81), Given.Reading("V-1", 100, 1)];
        Assert.Equal(new CommittedReadings(1, 61, 2, 0), store.Commit(again, []));
        Assert.Equal(many.Select(reading => reading.Reading.Value).Append(1), store.ReadingsAfter("V-1", DateTimeOffset.MinValue).Select(reading => reading.Value));
        QuarantineSource source = Assert.Single(store.Quarantine());
        Assert.Equal("repeated readings of V-1", source.Source);
        Assert.StartsWith("2 came together of which another value is held at the same instant", Assert.Single(source.Kept).Reason, StringComparison.Ordinal);

        store.Tend(Given.Instant(0).AddDays(30), TestContext.Current.CancellationToken);
        Assert.Equal(new CommittedReadings(0, 62, 2, 0), store.Commit(again, []));
    }

    [Fact]
    public void What_is_learnt_of_a_source_is_committed_with_its_readings()
    {
        using (PlantStore store = _folder.Open())
        {
            store.Commit([], [], [new SourceMemory("a", new byte[] { 1 }, new byte[] { 2 }, [new(1, new byte[] { 3 }), new(2, new byte[] { 4 })], [])]);
            store.Commit([Given.Reading("V-1", 0)], [], [new SourceMemory("a", null, new byte[] { 5 }, [new(2, new byte[] { 6 }), new(3, new byte[] { 7 })], [1])]);
            Assert.Throws<ArgumentException>(() => store.Commit([Given.Reading("V-1", 1, double.NaN)], [], [new SourceMemory("a", null, new byte[] { 9 }, [], [2, 3])]));
        }

        using PlantStore reopened = _folder.Open();
        SourceMemory memory = Assert.Single(reopened.Memories());
        Assert.Equal(("a", (byte)1, (byte)5), (memory.Source, memory.Birth!.Value.Span[0], memory.Progress.Span[0]));
        Assert.Equal([(2L, (byte)6), (3L, (byte)7)], memory.Held.Select(held => (held.Number, held.Content.Span[0])));
    }

    [Fact]
    public void The_spool_gives_up_its_oldest_points_beyond_its_bound()
    {
        using PlantStore store = new(new StoreOptions { Path = _folder.File, Spool = true, MostSpooledPoints = 10 });
        for (int row = 0; row < 25; row++)
        {
            store.Commit([Given.Reading("V-1", row)], []);
        }

        Assert.Equal((10, 15), (store.SpooledPoints(), store.SpooledPointsGivenUp()));
        Assert.Equal(Given.Instant(15), store.Spooled(1).Readings[0].Reading.Instant);
        store.RemoveSpooled(store.Spooled(100).Sequence);
        Assert.Equal((0, 15), (store.SpooledPoints(), store.SpooledPointsGivenUp()));
    }

    [Fact]
    public void One_instant_in_two_time_zones_is_one_reading()
    {
        using PlantStore store = _folder.Open();
        VesselReading reading = Given.Reading("V-1", 0);
        store.Commit(reading, reading with { Reading = reading.Reading with { Instant = reading.Reading.Instant.ToOffset(TimeSpan.FromHours(5)) } });
        Assert.Equal(TimeSpan.Zero, Assert.Single(store.ReadingsAfter("V-1", DateTimeOffset.MinValue)).Instant.Offset);
    }

    [Theory]
    [InlineData(double.NaN)]
    [InlineData(double.PositiveInfinity)]
    [InlineData(double.NegativeInfinity)]
    public void A_value_that_is_not_finite_is_refused_and_nothing_of_its_batch_is_kept(double value)
    {
        using PlantStore store = _folder.Open();
        ArgumentException refused = Assert.Throws<ArgumentException>(() => store.Commit(Given.Reading("V-1", 0), Given.Reading("V-1", 1, value)));
        Assert.Contains("V-1", refused.Message, StringComparison.Ordinal);
        Assert.Empty(store.ReadingCounts());
    }

    [Fact]
    public void Counts_tell_the_first_and_last_instant()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("B", 3), Given.Reading("A", 2), Given.Reading("B", 1));
        store.Save(Given.Step("C", 1));
        Assert.Equal(
            [
                new VesselReadingCount("A", 1, Given.Instant(2), Given.Instant(2)),
                new VesselReadingCount("B", 2, Given.Instant(1), Given.Instant(3)),
                new VesselReadingCount("C", 0, null, null),
            ],
            store.ReadingCounts());
    }
}
