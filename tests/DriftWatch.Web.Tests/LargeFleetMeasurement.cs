using System.Diagnostics;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.Storage;
using DriftWatch.Trends.Windows;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Web.Tests;

/// <summary>
/// How long pages of a large fleet take, over HTTP, beside those of a small one in the same run. Run by hand:
/// <c>dotnet run -c Release --project tests/DriftWatch.Web.Tests -- -explicit only -showliveoutput</c>.
/// </summary>
public sealed class LargeFleetMeasurement
{
    /// <summary>Looks at a page; the median counts.</summary>
    private const int Looks = 15;

    /// <summary>A window each day for two months, an alarm for whoever needs a hand, a job beside it.</summary>
    private const int WindowsEach = 60;

    private static readonly string[] Addresses =
    [
        "/", "/?page=200", "/?q=hall+7", "/?sort=loss&group=place", "/?verdict=hand&page=10", "/api/v1/vessels?size=50", "/vessels.csv",
        "/rounds", "/rounds?place=Hall+7", "/rounds?vessel=V00042", "/api/v1/round", "/alarms", "/api/v1/alarms", "/api/v1/alarms/figures",
        "/vessels/V00042", "/api/v1/vessels/V00042/alarms", "/api/v1/vessels/V00042/jobs", "/register", "/register?page=100",
        "/sheets/fleet", "/sheets/fleet.pdf", "/sheets/fleet.pdf?place=Hall+7", "/service", "/health", "/metrics",
    ];

    [Fact(Explicit = true)]
    public async Task Ten_thousand_vessels_beside_a_hundred()
    {
        Dictionary<string, double> small = await MeasureAsync(100);
        Dictionary<string, double> large = await MeasureAsync(10_000);
        foreach ((string what, double milliseconds) in large)
        {
            TestContext.Current.TestOutputHelper!.WriteLine(FormattableString.Invariant(
                $"{what,-40} {milliseconds,9:0.0} with 10,000 vessels, {small[what],8:0.0} with 100, ratio {milliseconds / small[what]:0.0}"));
        }

        Assert.Equal(small.Keys, large.Keys);
    }

    private static async Task<Dictionary<string, double>> MeasureAsync(int vessels)
    {
        string folder = Directory.CreateTempSubdirectory("driftwatch-large-").FullName;
        try
        {
            FleetRow[] rows = [.. FleetTests.Rows(vessels)];
            using var store = new PlantStore(new StoreOptions { Path = Path.Combine(folder, "driftwatch.db") });
            foreach (FleetRow row in rows)
            {
                store.Save(Step(row));
            }

            var register = new VesselRegister("Large works", [.. rows.Select(row => row.Vessel)]);
            var clock = new PlantClock(new FakeTimeProvider(rows[0].Assessment!.AsOf));
            var times = new Dictionary<string, double>(StringComparer.Ordinal);
            long start = Stopwatch.GetTimestamp();
            var board = new FleetBoard(register, store);
            times["first look at the store"] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
            start = Stopwatch.GetTimestamp();
            board.Refresh();
            times["look when nothing changed"] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
            await using ServedDesk desk = await ServedDesk.StartAsync(register, store, clock);
            foreach (string address in Addresses)
            {
                start = Stopwatch.GetTimestamp();
                int length = (await desk.Client.GetByteArrayAsync(address, TestContext.Current.CancellationToken)).Length;
                times[address + ", first"] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
                times[address + ", kB"] = length / 1000.0;
                times[address] = await MedianAsync(desk.Client, address);
            }

            return times;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static VesselStep Step(FleetRow row)
    {
        DateTimeOffset asOf = row.Assessment!.AsOf;
        Vessel vessel = row.Vessel;
        return new VesselStep
        {
            VesselId = vessel.Id,
            InboxSequence = 0,
            Windows = Unseen(vessel) ? [] : [.. Enumerable.Range(0, WindowsEach).Select(day => Window(asOf.AddDays(day - WindowsEach), day))],
            Assessment = row.Assessment!,
            Notices = row.NeedsAHand ? [new JobNotice(Job(vessel, asOf), JobState.Open, asOf, "")] : [],
            AlarmChanges = row.NeedsAHand ? [new AlarmChange(vessel.Id, AlarmKind.BelowLowerLimit, asOf.AddDays(-3), AlarmEvent.ConditionOn, Priority.Medium, "made up")] : [],
            Checkpoint = new VesselCheckpoint(asOf, new byte[1]),
        };
    }

    /// <summary>Of one vessel in ten nothing was seen yet: it is due for a check by hand.</summary>
    private static bool Unseen(Vessel vessel) => vessel.Id[^1] == '7';

    internal static PrechargeWindow Window(DateTimeOffset start, int number) => new()
    {
        Start = start,
        End = start.AddHours(2),
        ReadingCount = 120,
        Evidence = WindowEvidence.FluidPressure,
        MeanPressurePa = 96e5,
        MeanTemperatureK = 294.15,
        PrechargePa = 95.6e5,
        RandomUncertaintyPa = 2e4,
        SharedUncertaintyPa = 2e4,
        IsochoreSlopePaPerK = 0,
        Rest = number,
        Standing = WindowStanding.Accepted,
        Segment = 0,
    };

    private static Job Job(Vessel vessel, DateTimeOffset asOf) => new()
    {
        Key = $"{vessel.Id}/made-up/1",
        VesselId = vessel.Id,
        VesselDescription = vessel.Description,
        VesselPlace = vessel.Place,
        Cause = JobCause.BelowLowerLimit,
        Reason = "Made up.",
        Raised = asOf.AddDays(-3),
        Due = asOf.AddDays(4),
        DueReason = "made up",
        Evidence = ["made up"],
        Steps = ["Read the precharge."],
        ChargingTargets = [],
        NitrogenKg = 1,
        NitrogenStandardLitres = 800,
        Cautions = SafetyLines.All,
    };

    private static async Task<double> MedianAsync(HttpClient client, string address)
    {
        double[] times = new double[Looks];
        for (int look = 0; look < Looks; look++)
        {
            long start = Stopwatch.GetTimestamp();
            _ = await client.GetByteArrayAsync(address, TestContext.Current.CancellationToken);
            times[look] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
        }

        Array.Sort(times);
        return times[Looks / 2];
    }
}
