using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;
using Microsoft.Data.Sqlite;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Host.Tests;

/// <summary>
/// Raw readings past their retention are gone. Whatever sends the assessment back - late readings, a state of another version,
/// a segment that was taken back, another register - the windows found before stay, and so do the points of the trend.
/// </summary>
public sealed class RetentionTests : IDisposable
{
    private static readonly TimeSpan Retention = TimeSpan.FromDays(120);

    private readonly TemporaryFolder _folder = new();

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("PR1-A1")]
    [InlineData("HY1-A1")]
    public void Late_readings_find_all_that_they_need(string id)
    {
        (VesselRegister register, VesselReading[] readings) = Sample(id);
        DateTimeOffset end = readings[^1].Reading.Instant;

        // A day of the time that is still held comes late, just after it has become the oldest that may.
        DateTimeOffset late = new(end.UtcDateTime.Date - Retention + TimeSpan.FromDays(1), TimeSpan.Zero);
        bool IsLate(VesselReading reading) => reading.Reading.Instant >= late && reading.Reading.Instant < late.AddHours(30);
        VesselReading[] inTime = [.. readings.Where(reading => !IsLate(reading))];
        VesselReading[] comeLate = [.. readings.Where(IsLate)];
        Assert.NotEmpty(comeLate);

        using PlantStore all = Open("all", null);
        Feed(all, register, inTime);
        Feed(all, register, comeLate);
        using PlantStore kept = Open("kept", Retention);
        Feed(kept, register, inTime);
        kept.Tend(end, CancellationToken.None);
        Assert.True(kept.ReadingCounts().Single().Count < readings.Length / 2, "raw readings were let go");
        Feed(kept, register, comeLate);

        Assert.Empty(kept.Quarantine());
        Assert.Equal(all.Windows(id), kept.Windows(id));
        Assert.Equal(all.LastAssessment(id), kept.LastAssessment(id));
        Assert.Equal(all.Alarms(end).Journal, kept.Alarms(end).Journal);
    }

    [Theory]
    [InlineData("PR1-A1", Ways.OtherVersion)]
    [InlineData("HY1-A1", Ways.OtherVersion)]
    [InlineData("HY1-A1", Ways.OtherVersionWithLateReadings)]
    [InlineData("SH1-A2", Ways.OtherVersion)]
    [InlineData("PR1-A1", Ways.Revoked)]
    [InlineData("HY1-A1", Ways.Revoked)]
    [InlineData("HY1-A1", Ways.OtherRegister)]
    public void No_way_back_loses_a_window_or_a_point(string id, Ways way)
    {
        (VesselRegister register, VesselReading[] readings) = Sample(id);
        DateTimeOffset end = readings[^1].Reading.Instant;
        VesselReading[] last = [.. readings.Where(reading => reading.Reading.Instant > end.AddDays(-1))];
        VesselReading[] tenDaysBack = [.. readings.Where(reading => (end - reading.Reading.Instant).Days == 10)];
        using PlantStore store = Open("kept", Retention);
        Feed(store, register, [.. readings.Except(last).Except(tenDaysBack)]);
        store.Tend(end, CancellationToken.None);
        DateTimeOffset heldFrom = HeldFrom(store, id);
        Assert.InRange(heldFrom, end - (2 * Retention), end - Retention + TimeSpan.FromDays(1));
        PrechargeWindow[] before = Before(store, id, heldFrom);
        Assert.Contains(before, window => window.Standing == WindowStanding.Accepted);
        string[] open = OpenJobs(store, id);

        VesselReading[] next = last;
        switch (way)
        {
            case Ways.OtherVersion:
                Rewrite(id, _ => "{}"u8.ToArray());
                break;
            case Ways.OtherVersionWithLateReadings:
                Rewrite(id, _ => "{}"u8.ToArray());
                next = [.. tenDaysBack, .. last];
                break;
            case Ways.Revoked:
                Rewrite(id, state => FollowerState.FromStored(state) is { } known
                    ? (known with { Tracker = known.Tracker with { Segments = known.Tracker.Segments with { LastRevocation = end.AddDays(-1) } } }).ToStored()
                    : state);
                next = [.. tenDaysBack, .. last];
                break;
            default:
                Vessel vessel = register.Find(id)!;
                register = new VesselRegister(register.Plant, [vessel with { Specification = vessel.Specification with { LongestSilence = vessel.Specification.LongestSilence + TimeSpan.FromDays(5) } }], null);
                next = [.. tenDaysBack, .. last];
                break;
        }

        Feed(store, register, next);

        // Nothing before has changed, and the trend still stands on it.
        Assert.Equal(before, Before(store, id, heldFrom));
        using PlantStore all = Open("all", null);
        (register, _) = way == Ways.OtherRegister ? (register, readings) : Sample(id);
        Feed(all, register, [.. readings.Except(last).Except(way is Ways.OtherVersion ? tenDaysBack : [])]);
        Feed(all, register, last);
        Assessment expected = all.LastAssessment(id)!;
        Assessment actual = store.LastAssessment(id)!;
        Assert.Equal((expected.Verdict, expected.PointCount), (actual.Verdict, actual.PointCount));
        Assert.Equal(expected.Segment?.Start, actual.Segment?.Start);
        Assert.Equal(expected.Segment?.Cause, actual.Segment?.Cause);
        Assert.Equal(expected.PrechargePa!.Value, actual.PrechargePa!.Value, 1e-3 * expected.PrechargePa.Value);
        Assert.Equal(open, OpenJobs(store, id));
    }

    /// <summary>What sends an assessment back.</summary>
    public enum Ways
    {
        OtherVersion,
        OtherVersionWithLateReadings,
        Revoked,
        OtherRegister,
    }

    private static (VesselRegister Register, VesselReading[] Readings) Sample(string id)
    {
        VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
        return (register,
        [
            .. new LoggerFileReader(register)
                .Read(Path.Combine(Repository.SampleStreams, id + ".csv.gz"), TimeProvider.System.GetUtcNow(), _ => { })
                .Where(reading => reading.VesselId == id)
                .OrderBy(reading => reading.Reading),
        ]);
    }

    /// <summary>Week by week, as the service would, so that states are kept on the way.</summary>
    private static void Feed(PlantStore store, VesselRegister register, VesselReading[] readings)
    {
        var assessor = new Assessor(register, store, AlarmHandling.Usual, TimeProvider.System, NullLogger<Assessor>.Instance);
        foreach (IGrouping<long, VesselReading> week in readings.GroupBy(reading => reading.Reading.Instant.UtcTicks / TimeSpan.FromDays(7).Ticks).OrderBy(week => week.Key))
        {
            store.Commit([.. week], []);
            Assert.Equal(1, assessor.TakeInWaiting(CancellationToken.None));
        }

        Assert.Empty(assessor.Failed);
    }

    private static DateTimeOffset HeldFrom(PlantStore store, string id)
    {
        using IVesselView view = store.View(id);
        return view.HeldFrom;
    }

    private static PrechargeWindow[] Before(PlantStore store, string id, DateTimeOffset heldFrom) =>
        [.. store.Windows(id).Where(window => window.Start < heldFrom)];

    private static string[] OpenJobs(PlantStore store, string id) => [.. store.OpenJobs(id).Select(job => job.Key)];

    private PlantStore Open(string name, TimeSpan? retention) =>
        new(new StoreOptions { Path = _folder.File(name + ".db"), RawRetention = retention, Channels = ["files"] });

    /// <summary>Writes every state of a vessel anew, past the store.</summary>
    private void Rewrite(string id, Func<byte[], byte[]> change)
    {
        using SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = _folder.File("kept.db"), Pooling = false }.ConnectionString);
        connection.Open();
        List<(long Instant, byte[] State)> states = [];
        using (SqliteCommand read = connection.CreateCommand())
        {
            read.CommandText = "SELECT instant, state FROM checkpoint WHERE vessel = (SELECT id FROM vessel WHERE name = $id)";
            _ = read.Parameters.AddWithValue("$id", id);
            using SqliteDataReader rows = read.ExecuteReader();
            while (rows.Read())
            {
                states.Add((rows.GetInt64(0), (byte[])rows[1]));
            }
        }

        Assert.NotEmpty(states);
        foreach ((long instant, byte[] state) in states)
        {
            using SqliteCommand write = connection.CreateCommand();
            write.CommandText = "UPDATE checkpoint SET state = $state WHERE instant = $instant";
            _ = write.Parameters.AddWithValue("$state", change(state));
            _ = write.Parameters.AddWithValue("$instant", instant);
            _ = write.ExecuteNonQuery();
        }
    }
}
