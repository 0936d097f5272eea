using DriftWatch.Plant.History;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Tests.Support;
using DriftWatch.Trends.Readings;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Tests;

public sealed class TendingTests : IDisposable
{
    private const int Vessels = 20;

    private static readonly TimeSpan Year = TimeSpan.FromDays(365);

    private readonly StoreFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public void Packing_at_any_moment_changes_nothing_that_is_read()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        Signal[] signals = Enum.GetValues<Signal>();
        using PlantStore store = _folder.Open();
        List<VesselReading> all = [];
        for (int round = 0; round < 60; round++)
        {
            // Five days, in no order, many of them again, some under a day that has long been packed.
            VesselReading[] batch = [.. Enumerable.Range(0, random.Next(1, 150)).Select(_ => all.Count > 0 && random.Next(4) == 0
                ? all[random.Next(all.Count)] with { Reading = all[random.Next(all.Count)].Reading }
                : new VesselReading($"V-{random.Next(Vessels)}", new Reading(signals[random.Next(4)], Given.Instant(random.Next(5 * 24 * 4) / 4.0), random.NextDouble())))];
            store.Commit(batch);
            all.AddRange(batch);
            if (random.Next(3) == 0)
            {
                store.Tend(Given.Instant(random.Next(10 * 24)), Ended);
            }

            string vessel = $"V-{random.Next(Vessels)}";
            Reading[] expected = [.. all.Where(reading => reading.VesselId == vessel).Select(reading => reading.Reading).DistinctBy(reading => (reading.Instant, reading.Signal)).Order()];
            Assert.Equal(expected, store.ReadingsAfter(vessel, DateTimeOffset.MinValue));
            DateTimeOffset from = Given.Instant(random.Next(5 * 24));
            Assert.Equal(expected.Where(reading => reading.Instant > from), store.ReadingsAfter(vessel, from));
            if (expected.Length > 0)
            {
                Assert.Equal(
                    new VesselReadingCount(vessel, expected.Length, expected[0].Instant, expected[^1].Instant),
                    store.ReadingCounts().Single(count => count.VesselId == vessel));
            }
        }

        Assert.True(Rows("reading_block") > Vessels, "days were packed");
    }

    [Fact]
    public void Only_days_that_are_over_for_long_enough_are_packed()
    {
        using PlantStore store = new(new StoreOptions { Path = _folder.File, PackAfter = TimeSpan.FromDays(2) });
        store.Commit(Given.Reading("V-1", 0), Given.Reading("V-1", 24));
        DateTimeOffset dayAfterFirst = new(Given.Instant().UtcDateTime.Date.AddDays(1), TimeSpan.Zero);
        store.Tend(dayAfterFirst.AddDays(2).AddTicks(-1), Ended);
        Assert.Equal((0, 2), (Rows("reading_block"), Rows("recent")));
        store.Tend(dayAfterFirst.AddDays(2), Ended);
        Assert.Equal((1, 1), (Rows("reading_block"), Rows("recent")));
    }

    [Fact]
    public void A_known_reading_of_a_packed_day_waits_for_nothing_and_a_new_one_waits()
    {
        using PlantStore store = _folder.Open();
        store.Commit(Given.Reading("V-1", 0, 1), Given.Reading("V-1", 1, 2));
        store.Save(Given.Step("V-1", 1) with { InboxSequence = store.Waiting()[0].InboxSequence });
        store.Tend(Given.Instant(24 * 30), Ended);
        store.Commit(Given.Reading("V-1", 1, 99));
        Assert.Empty(store.Waiting());
        store.Commit(Given.Reading("V-1", 0.5, 3));
        Assert.Equal(Given.Instant(0.5), Assert.Single(store.Waiting()).Earliest);
        Assert.Equal([1, 3, 2], store.ReadingsAfter("V-1", DateTimeOffset.MinValue).Select(reading => reading.Value));
        store.Tend(Given.Instant(24 * 30), Ended);
        Assert.Equal((1, 0), (Rows("reading_block"), Rows("recent")));
        Assert.Equal([1, 3, 2], store.ReadingsAfter("V-1", DateTimeOffset.MinValue).Select(reading => reading.Value));
    }

    [Fact]
    public void A_view_keeps_its_readings_while_they_are_packed_and_dropped()
    {
        using PlantStore store = WithRetention(Year, null);
        store.Commit(Given.Reading("V-1", 0), Given.Reading("V-1", 1));
        store.Save(Given.Step("V-1", 48));
        GoesOnUpTo(store, 1000);
        using IVesselView view = store.View("V-1");
        store.Tend(Given.Instant(24 * 1000), Ended);
        Assert.Equal(2, view.ReadingsAfter(DateTimeOffset.MinValue).Count());
        Assert.Empty(store.ReadingsAfter("V-1", DateTimeOffset.MinValue));
    }

    [Fact]
    public void Past_their_retention_raw_readings_leave_an_hourly_roll_up_and_windows_stay()
    {
        using PlantStore store = WithRetention(Year, null);
        store.Commit([.. Enumerable.Range(0, 8).Select(quarter => Given.Reading("V-1", quarter / 4.0, 10 + quarter)), .. Enumerable.Range(398, 3).Select(day => Given.Reading("V-1", 24 * day, day))], []);
        store.Save(Given.Step("V-1", 48));
        store.Save(Given.Step("V-1", 24 * 400) with { InboxSequence = long.MaxValue, Windows = [Given.Window(1), Given.Window(24 * 400)] });
        store.Tend(Given.Instant(24 * 400), Ended);

        Assert.Equal([398, 399, 400], store.ReadingsAfter("V-1", DateTimeOffset.MinValue).Select(reading => reading.Value));
        Assert.Equal(new VesselReadingCount("V-1", 3, Given.Instant(24 * 398), Given.Instant(24 * 400)), Assert.Single(store.ReadingCounts()));
        DateTimeOffset six = Given.Instant().AddTicks(-1);
        Assert.Equal(
            [
                new HourlyRollUp(Signal.GasPressure, six, 4, 11.5, 10, 13),
                new HourlyRollUp(Signal.GasPressure, six.AddHours(1), 4, 15.5, 14, 17),
            ],
            store.RollUps("V-1"));

        // Going back to the very beginning no longer finds the old window again, so it stays.
        store.Save(Given.Step("V-1", 3) with { Rewind = new Rewind(DateTimeOffset.MinValue, DateTimeOffset.MinValue) });
        Assert.Equal([Given.Window(1)], store.Windows("V-1"));
    }

    [Fact]
    public void A_reading_later_than_the_retention_is_set_aside_with_its_reason()
    {
        using PlantStore store = WithRetention(Year, null);
        store.Commit(Given.Reading("V-1", 0), Given.Reading("V-1", 24 * 398), Given.Reading("V-1", 24 * 399), Given.Reading("V-1", 24 * 400));
        store.Save(Given.Step("V-1", 48));
        store.Tend(Given.Instant(24 * 400), Ended);
        Assert.Equal(new CommittedReadings(1, 0, 0, 1), store.Commit([Given.Reading("V-1", 1, 0.1), Given.Reading("V-1", 24 * 401)], []));
        Assert.Equal(4, Assert.Single(store.ReadingCounts()).Count);
        QuarantineSource late = Assert.Single(store.Quarantine());
        Assert.Equal("late readings of V-1", late.Source);
        Assert.Contains("retention", late.Kept[0].Reason, StringComparison.Ordinal);
        Assert.Equal("2025-03-01T07:00:00.0000001Z;GasPressure;0.1", System.Text.Encoding.UTF8.GetString(late.Kept[0].Payload.Span));
    }

    /// <summary>A reading may come as late as the retention allows; what came after the last state before it must be there then.</summary>
    [Fact]
    public void What_came_after_the_last_state_before_the_retention_is_held_and_so_is_what_was_never_assessed()
    {
        using PlantStore store = WithRetention(Year, null);
        store.Commit([.. Enumerable.Range(0, 40).SelectMany(day => (VesselReading[])[Given.Reading("V-1", 24 * day, day), Given.Reading("V-2", 24 * day, day)])], []);
        store.Save(Given.Step("V-1", 24 * 10));
        store.Save(Given.Step("V-1", 24 * 30));
        GoesOnUpTo(store, 390);
        store.Tend(Given.Instant(24 * 390), Ended);
        Assert.Equal(Enumerable.Range(10, 30).Select(day => (double)day), store.ReadingsAfter("V-1", DateTimeOffset.MinValue).Select(reading => reading.Value));
        Assert.Equal(40, store.ReadingsAfter("V-2", DateTimeOffset.MinValue).Count());
        using IVesselView view = store.View("V-1");
        Assert.Equal(new DateTimeOffset(Given.Instant(24 * 10).UtcDateTime.Date, TimeSpan.Zero), view.HeldFrom);
        using IVesselView other = store.View("V-2");
        Assert.Equal(DateTimeOffset.MinValue, other.HeldFrom);
    }

    [Fact]
    public void Roll_ups_past_their_own_retention_go()
    {
        using PlantStore store = WithRetention(Year, 2 * Year);
        store.Commit(Given.Reading("V-1", 0), Given.Reading("V-1", 24 * 365));
        store.Save(Given.Step("V-1", 24 * 400));
        GoesOnUpTo(store, 1000);
        store.Tend(Given.Instant(24 * 1000), Ended);
        HourlyRollUp left = Assert.Single(store.RollUps("V-1"));
        Assert.Equal(Given.Instant(24 * 365).AddTicks(-1), left.Hour);
        Assert.Empty(store.RollUps("nobody"));
    }

    /// <summary>Ahead for an hour, over midnight at the worst; readings without a time of their own are dated by it.</summary>
    [Fact]
    public void A_clock_that_is_years_ahead_for_some_hours_lets_go_of_nothing_and_refuses_nothing_afterwards()
    {
        using PlantStore store = WithRetention(Year, 2 * Year);
        store.Commit([.. Enumerable.Range(0, 30).Select(day => Given.Reading("V-1", 24 * day, day))], []);
        store.Save(Given.Step("V-1", 24 * 20));
        store.Tend(Given.Instant(24 * 2000), Ended);
        store.Commit(Given.Reading("V-1", 24 * 2000, 2000), Given.Reading("V-1", 24 * 2001, 2001));
        store.Tend(Given.Instant(24 * 2001), Ended);

        Assert.Equal(new CommittedReadings(1, 0, 0, 0), store.Commit([Given.Reading("V-1", 24 * 30, 30)], []));
        store.Tend(Given.Instant(24 * 30), Ended);
        Assert.Equal([.. Enumerable.Range(0, 31).Select(day => (double)day), 2000, 2001], store.ReadingsAfter("V-1", DateTimeOffset.MinValue).Select(reading => reading.Value));
        Assert.Empty(store.RollUps("V-1"));
        Assert.Empty(store.Quarantine());
    }

    /// <summary>As an earlier version left it, whose clock was believed.</summary>
    [Fact]
    public void Days_that_a_wrong_clock_has_closed_are_open_again_but_for_those_that_are_gone()
    {
        using PlantStore store = WithRetention(Year, null);
        store.Commit([.. Enumerable.Range(0, 400).Select(day => Given.Reading("V-1", 24 * day, day))], []);
        store.Save(Given.Step("V-1", 24 * 20));
        store.Tend(Given.Instant(24 * 399), Ended);
        DateTimeOffset heldFrom = store.ReadingsAfter("V-1", DateTimeOffset.MinValue).First().Instant;
        Assert.Equal(Given.Instant(24 * 20), heldFrom);
        Execute("UPDATE mark SET value = value + 5000 WHERE name = 'expired'");
        Assert.Equal(new CommittedReadings(0, 0, 0, 1), store.Commit([Given.Reading("V-1", 24 * 400)], []));

        store.Tend(Given.Instant(24 * 399), Ended);
        Assert.Equal(new CommittedReadings(1, 0, 0, 1), store.Commit([Given.Reading("V-1", 24 * 400), Given.Reading("V-1", 1)], []));
    }

    [Fact]
    public void A_file_of_the_first_schema_keeps_all_it_has()
    {
        using (SqliteConnection old = Connect())
        {
            // Written as the first schema had it: 2025-03-01T06:00:00.0000001Z is 638764056000000001 ticks.
            using SqliteCommand make = old.CreateCommand();
            make.CommandText = FirstSchema.Script + """
                INSERT INTO vessel (id, name, readings) VALUES (1, 'V-1', 2), (2, 'V-2', 1);
                INSERT INTO reading VALUES (1, 638764056000000001, 1, 293.5), (1, 638764056000000001, 4, 1.5), (2, 638764092000000001, 4, 2.5);
                INSERT INTO inbox (sequence, vessel, earliest) VALUES (41, 1, 638764056000000001);
                PRAGMA user_version = 1;
                """;
            _ = make.ExecuteNonQuery();
        }

        using PlantStore store = _folder.Open();
        Assert.Equal(
            [new Reading(Signal.GasTemperature, Given.Instant(), 293.5), new Reading(Signal.GasPressure, Given.Instant(), 1.5)],
            store.ReadingsAfter("V-1", DateTimeOffset.MinValue));
        Assert.Equal(
            [new VesselReadingCount("V-1", 2, Given.Instant(), Given.Instant()), new VesselReadingCount("V-2", 1, Given.Instant(1), Given.Instant(1))],
            store.ReadingCounts());
        Assert.Equal(new VesselInbox("V-1", 41, Given.Instant()), Assert.Single(store.Waiting()));
        store.Commit(Given.Reading("V-2", 2), Given.Reading("V-2", 1));
        Assert.Equal(42, store.Waiting()[1].InboxSequence);
        Assert.Equal(2, store.ReadingCounts()[1].Count);
    }

    /// <summary>Another vessel sends on, so that it is seen what time it is.</summary>
    private static void GoesOnUpTo(PlantStore store, int day) =>
        store.Commit([.. Enumerable.Range(day - 2, 3).Select(past => Given.Reading("V-9", 24 * past))], []);

    private PlantStore WithRetention(TimeSpan raw, TimeSpan? rollUp) =>
        new(new StoreOptions { Path = _folder.File, RawRetention = raw, RollUpRetention = rollUp });

    private void Execute(string sql)
    {
        using SqliteConnection connection = Connect();
        using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Literals of this test.
        command.CommandText = sql;
#pragma warning restore CA2100
        _ = command.ExecuteNonQuery();
    }

    private long Rows(string table)
    {
        using SqliteConnection connection = Connect();
        using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Names of this test.
        command.CommandText = $"SELECT count(*) FROM {table}";
#pragma warning restore CA2100
        return (long)command.ExecuteScalar()!;
    }

    private SqliteConnection Connect()
    {
        SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = _folder.File, Pooling = false }.ConnectionString);
        connection.Open();
        return connection;
    }
}
