using System.Globalization;
using System.Text;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Durability.Tests;

/// <summary>Logger files are imported by a process of their own while the service takes readings in.</summary>
public sealed class ImportBesideServiceTests
{
    private const int Rows = 100_000;

    private static readonly DateTimeOffset Begin = new(2023, 5, 1, 0, 0, 0, TimeSpan.Zero);

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Its_readings_are_assessed_and_nothing_is_doubled_lost_or_refused()
    {
        int port = FreePort.Find();
        using PlantFolder folder = await PlantFolder.CreateAsync(string.Create(CultureInfo.InvariantCulture, $$"""{ "port": {{port}} }"""));
        string file = Path.Combine(Path.GetDirectoryName(folder.Settings)!, Gateways.Id(0) + ".csv");
        await File.WriteAllTextAsync(file, FileText(), Ended);
        using ServiceProcess service = ServiceProcess.Start(folder.Settings);
        await using Gateways gateways = new(port, subscribed: false);
        Task some = gateways.AcknowledgedAsync(Gateways.Vessels);
        gateways.Allow(150);
        await some.WaitAsync(MosquittoBroker.Patience, Ended);

        string first = await ServiceProcess.RunAsync("import", file, "--settings", folder.Settings);
        gateways.Allow(50);
        string again = await ServiceProcess.RunAsync("import", file, "--settings", folder.Settings);
        await gateways.AllAcknowledgedAsync();
        await folder.NothingWaitsAsync(service);
        await service.TerminateAsync();

        string taken = FormattableString.Invariant($"{2 * Rows} readings of {Gateways.Id(0)}");
        Assert.Contains(taken, first, StringComparison.Ordinal);
        Assert.Contains(taken, again, StringComparison.Ordinal);
        Assert.DoesNotContain("could not be committed", service.Log.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("Assessment waits", service.Log.ToString(), StringComparison.Ordinal);
        using PlantStore store = folder.Open();
        Assert.Empty(store.Quarantine());
        for (int vessel = 0; vessel < Gateways.Vessels; vessel++)
        {
            Reading[] held = [.. store.ReadingsAfter(Gateways.Id(vessel), DateTimeOffset.MinValue)];
            IEnumerable<Reading> sent = gateways.Acknowledged(vessel);
            IEnumerable<Reading> imported = vessel == 0 ? Imported() : [];
            Assert.Equal(imported.Concat(sent), held);
        }

        // The gas rests all through the file: its windows were found.
        Assert.Contains(store.Windows(Gateways.Id(0)), window => window.End < Begin.AddDays(30));
        Assert.True(store.LastAssessment(Gateways.Id(0))!.AsOf >= LastHeld(store));

        static DateTimeOffset LastHeld(PlantStore store) => store.ReadingsAfter(Gateways.Id(0), DateTimeOffset.MinValue).Last().Instant;
    }

    /// <summary>Every 30 s: a gas at rest, on exact steps so that the units bring no rounding in.</summary>
    private static IEnumerable<(DateTimeOffset At, int Bar, int Celsius)> Told() =>
        Enumerable.Range(0, Rows).Select(row => (Begin.AddSeconds(30 * row), 100, 20));

    private static string FileText()
    {
        StringBuilder text = new("time,gas_pressure_bar,gas_temperature_C\n");
        foreach ((DateTimeOffset at, int bar, int celsius) in Told())
        {
            text.Append(CultureInfo.InvariantCulture, $"{at.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'},{bar},{celsius}\n");
        }

        return text.ToString();
    }

    private static IEnumerable<Reading> Imported() => Told().SelectMany(row => (Reading[])
    [
        new(Signal.GasTemperature, row.At, row.Celsius + 273.15),
        new(Signal.GasPressure, row.At, row.Bar * 1e5),
    ]);
}
