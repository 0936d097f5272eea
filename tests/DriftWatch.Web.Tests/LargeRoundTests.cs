using System.Text.RegularExpressions;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.Rounds;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Storage;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Web.Tests;

/// <summary>Round and alarms of many vessels: pages stay short, and what has not changed is not read again.</summary>
public sealed class LargeRoundTests : IDisposable
{
    private const int Vessels = 130;

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("driftwatch-large-round-");
    private readonly FleetRow[] _rows = [.. FleetTests.Rows(Vessels)];
    private readonly PlantStore _store;
    private readonly LiveRegister _register;

    public LargeRoundTests()
    {
        _store = new PlantStore(new StoreOptions { Path = Path.Combine(_folder.FullName, "driftwatch.db") });
        _register = new LiveRegister(new VesselRegister("Large works", [.. _rows.Select(row => row.Vessel with { RecordedCharges = [], RecordedChecks = [] })]), _store);
        foreach (FleetRow row in _rows)
        {
            Save(row, []);
        }
    }

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    private DateTimeOffset AsOf => _rows[0].Assessment!.AsOf;

    public void Dispose()
    {
        _store.Dispose();
        _folder.Delete(recursive: true);
    }

    [Fact]
    public void Only_vessels_that_have_changed_are_read_again()
    {
        RoundBoard board = new(_store);
        Assert.All(Stops(board, AsOf), stop => Assert.Equal(DueReason.NeverSeen, stop.Reason));
        Assert.Equal(Vessels, board.VesselsRead);

        // Nothing has changed; a never-seen vessel is due now, whenever now is.
        Assert.All(Stops(board, AsOf.AddHours(1)), stop => Assert.Equal(AsOf.AddHours(1), stop.Due));
        Assert.Equal(Vessels, board.VesselsRead);

        Save(_rows[7], [Window(AsOf.AddDays(-1))]);
        RoundStop seen = Stops(board, AsOf)[7];
        Assert.Equal(AsOf.AddDays(-1).AddHours(2), seen.Online);
        Assert.Equal(Vessels + 1, board.VesselsRead);

        _ = _register.Record(Check(_rows[9].Vessel.Id));
        Assert.Equal(AsOf.AddHours(-3), Stops(board, AsOf)[9].ByHand);
        Assert.Equal(Vessels + 2, board.VesselsRead);

        // A transducer in doubt: its windows count no more.
        Save(_rows[7], [], Drifting(_rows[7]));
        Assert.Null(Stops(board, AsOf)[7].Online);
        Assert.Equal(Vessels + 3, board.VesselsRead);
    }

    /// <summary>After a charge nothing is said of the drift; the job stands until the transducer was seen to.</summary>
    [Fact]
    public void Windows_do_not_count_while_the_job_for_their_transducer_stands()
    {
        RoundBoard board = new(_store);
        FleetRow row = _rows[7];
        Save(row, [Window(AsOf.AddDays(-1))]);
        Assert.NotNull(Stops(board, AsOf)[7].Online);
        Job job = JobWriter.Write(row.Vessel, JobCause.TransducerDrift, Drifting(row));
        Save(row, [], notices: [new JobNotice(job, JobState.Open, AsOf, "")]);
        Assert.Null(Stops(board, AsOf)[7].Online);
        Save(row, [], notices: [new JobNotice(job with { Revision = 2 }, JobState.Closed, AsOf, "Calibrated.") { End = JobEnd.CauseEnded }]);
        Assert.NotNull(Stops(board, AsOf)[7].Online);
    }

    [Fact]
    public void A_loss_in_the_trend_is_due_since_its_job_was_raised()
    {
        RoundBoard board = new(_store);
        int number = Array.FindIndex(_rows, row => row.Verdict == Verdict.FallingFasterThanAllowed);
        Job job = JobWriter.Write(_rows[number].Vessel, JobCause.FallingFasterThanAllowed, _rows[number].Assessment! with { AsOf = AsOf.AddDays(-3) });
        Save(_rows[number], [Window(AsOf.AddDays(-1))], notices: [new JobNotice(job, JobState.Open, job.Raised, "")]);
        RoundStop stop = Stops(board, AsOf)[number];
        Assert.Equal((AsOf.AddDays(-3), DueReason.LossInTrend), (stop.Due, stop.Reason));
    }

    [Fact]
    public void Some_are_read_at_a_time_until_all_are_known()
    {
        RoundBoard board = new(_store);
        for (int reads = 50; reads <= 200; reads += 50)
        {
            board.Refresh(_register.Current.Vessels, _store.LastAssessment, AsOf, 50);
            Assert.Equal(Math.Min(reads, Vessels), board.VesselsRead);
        }
    }

    [Fact]
    public async Task The_pages_of_a_long_round_and_of_many_alarms_hold_each_vessel_once()
    {
        await using ServedDesk desk = await ServedDesk.StartAsync(_register, _store, new PlantClock(new FakeTimeProvider(AsOf)));
        Assert.Equal(_rows.Select(row => row.Vessel.Id).Order(), (await ReadAsync(desk, "/rounds", "data-vessel=\"(V\\d+)\"")).Order());
        string[] alarms = await ReadAsync(desk, "/alarms", "<h3><a href=\"/vessels/(V\\d+)\"");
        Assert.Equal(_rows.Where(row => row.NeedsAHand).Select(row => row.Vessel.Id).Order(), alarms.Order());
        Assert.NotEmpty(await ReadAsync(desk, "/rounds?place=Hall+7", "data-vessel=\"(V\\d+)\""));

        // A page that is not there any more is the last one.
        string last = await desk.Client.GetStringAsync("/rounds?page=99", Ended);
        Assert.Contains("101 to 130 of 130 checks", last, StringComparison.Ordinal);
    }

    /// <summary>What stands on a page and on those that follow it, by its 'next'.</summary>
    private static async Task<string[]> ReadAsync(ServedDesk desk, string address, string pattern)
    {
        List<string> found = [];
        string? next = address;
        while (next is not null)
        {
            string page = await desk.Client.GetStringAsync(next, Ended);
            string[] here = [.. Regex.Matches(page, pattern).Select(match => match.Groups[1].Value)];
            Assert.InRange(here.Length, 1, 50);
            found.AddRange(here);
            next = Regex.Match(page, "rel=\"next\" href=\"([^\"]+)\"") is { Success: true } link ? System.Net.WebUtility.HtmlDecode(link.Groups[1].Value) : null;
        }

        return [.. found];
    }

    private List<RoundStop> Stops(RoundBoard board, DateTimeOffset asOf) => [.. board.Stops(_register.Current.Vessels, _store.LastAssessment, asOf)];

    private Assessment Drifting(FleetRow row) =>
        row.Assessment! with { Drift = new TransducerDrift(1, -1.1, 0.2, AsOf, -10e5, 1e5, AsOf, 6, -Math.Log(0.01)) };

    private void Save(
        FleetRow row, IReadOnlyList<PrechargeWindow> windows, Assessment? assessment = null, IReadOnlyList<JobNotice>? notices = null) => _store.Save(new VesselStep
        {
            VesselId = row.Vessel.Id,
            InboxSequence = 0,
            Windows = windows,
            Assessment = assessment ?? row.Assessment!,
            Notices = notices ?? [],
            AlarmChanges = row.NeedsAHand && windows.Count == 0 && assessment is null
            ? [new AlarmChange(row.Vessel.Id, AlarmKind.BelowLowerLimit, AsOf.AddDays(-3), AlarmEvent.ConditionOn, Priority.Medium, "made up")]
            : [],
            Checkpoint = new VesselCheckpoint(AsOf, new byte[1]),
        });

    private static PrechargeWindow Window(DateTimeOffset start) => LargeFleetMeasurement.Window(start, 1);

    private WorkRecord Check(string vessel) => new()
    {
        Id = Guid.NewGuid(),
        VesselId = vessel,
        Kind = WorkKind.Check,
        At = AsOf.AddHours(-3),
        Who = "Bea",
        GasPressureBarGauge = 90,
        GasTemperatureCelsius = 20,
        IsolatedAndReleased = true,
        Source = RecordSource.Page,
        EnteredBy = "Bea",
        Received = AsOf,
    };
}
