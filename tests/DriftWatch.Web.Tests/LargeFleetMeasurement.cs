using System.Diagnostics;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Web.Tests;

/// <summary>
/// How long pages of a large fleet take, over HTTP, beside those of a small one in the same run. Run by hand:
/// <c>dotnet run -c Release --project tests/DriftWatch.Web.Tests -- -explicit only -showliveoutput</c>.
/// </summary>
public sealed class LargeFleetMeasurement
{
    private const int Looks = 40;

    private static readonly string[] Addresses =
    [
        "/", "/?page=200", "/?q=hall+7", "/?sort=loss&group=place", "/?verdict=hand&page=10", "/api/v1/vessels?size=50", "/vessels.csv",
    ];

    [Fact(Explicit = true)]
    public async Task Ten_thousand_vessels_beside_a_hundred()
    {
        Dictionary<string, double> small = await MeasureAsync(100);
        Dictionary<string, double> large = await MeasureAsync(10_000);
        foreach ((string what, double milliseconds) in large)
        {
            TestContext.Current.TestOutputHelper!.WriteLine(FormattableString.Invariant(
                $"{what,-28} {milliseconds,8:0.0} ms with 10,000 vessels, {small[what],8:0.0} ms with 100, ratio {milliseconds / small[what]:0.0}"));
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
                store.Save(new VesselStep
                {
                    VesselId = row.Vessel.Id,
                    InboxSequence = 0,
                    Windows = [],
                    Assessment = row.Assessment!,
                    Notices = [],
                    Checkpoint = new VesselCheckpoint(row.Assessment!.AsOf, new byte[1]),
                });
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
                times[address] = await MedianAsync(desk.Client, address);
            }

            return times;
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    private static async Task<double> MedianAsync(HttpClient client, string address)
    {
        double[] times = new double[Looks];
        for (int look = -3; look < Looks; look++)
        {
            long start = Stopwatch.GetTimestamp();
            _ = await client.GetByteArrayAsync(address, TestContext.Current.CancellationToken);
            if (look >= 0)
            {
                times[look] = Stopwatch.GetElapsedTime(start).TotalMilliseconds;
            }
        }

        Array.Sort(times);
        return times[Looks / 2];
    }
}
