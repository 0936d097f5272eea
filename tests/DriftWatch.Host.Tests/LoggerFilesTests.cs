using System.Text.Json;
using DriftWatch.Host.Settings;
using DriftWatch.Storage;

namespace DriftWatch.Host.Tests;

/// <summary>Logger files as a plant brings them: guessed profile, import, watched folder.</summary>
public sealed class LoggerFilesTests
{
    private const string German = """
        Logger 7

        Datum;Uhrzeit;Gasdruck;Gastemperatur
        ;;[bar];[°C]
        03.06.2025;09:30:00;101,5;20,25
        03.06.2025;09:40:00;101,4;---
        """;

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    private static string RegisterPath => Path.Combine(Repository.SampleStreams, "register.json");

    private static string Vessel => RegisterFile.Open(RegisterPath, TextWriter.Null)!.Vessels[0].Id;

    [Fact]
    public async Task A_guessed_profile_is_shown_and_then_imports_the_file_once()
    {
        using TemporaryFolder folder = new();
        string file = folder.File($"{Vessel}.csv");
        string profile = folder.File("logger.json");
        await File.WriteAllTextAsync(file, German, Ended);
        (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync(
            "guess-profile", file, "--register", RegisterPath, "--zone", "Europe/Berlin", "--output", profile);
        Assert.True(exitCode == 0, errors);
        Assert.Empty(output);
        Assert.Contains("separator ';', decimal comma", errors, StringComparison.Ordinal);
        Assert.Contains("Europe/Berlin is taken for the logger's clock", errors, StringComparison.Ordinal);
        Assert.Contains($"{Vessel} GasPressure 2025-06-03T07:30:00Z 101.5 bar", errors, StringComparison.Ordinal);
        Assert.Equal("Europe/Berlin", JsonDocument.Parse(await File.ReadAllTextAsync(profile, Ended)).RootElement.GetProperty("zone").GetString());

        string settings = await WriteSettingsAsync(folder, new ServiceSettings { Register = RegisterPath });
        for (int time = 0; time < 2; time++)
        {
            (exitCode, output, errors) = await ProgramRun.ToEndAsync("import", file, "--profile", profile, "--settings", settings);
            Assert.True(exitCode == 0, errors);
            Assert.Contains($"3 readings of {Vessel} from 2025-06-03T07:30:00Z to 2025-06-03T07:40:00Z, 1 rows", output, StringComparison.Ordinal);
        }

        using var store = new PlantStore(new StoreOptions { Path = folder.File("data", "driftwatch.db") });
        Assert.Equal(3, store.ReadingCounts().Sum(count => count.Count));
        Assert.Contains("'---' says that the sensor has failed", await File.ReadAllTextAsync(file + ".rejects.csv", Ended), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_running_service_takes_files_from_the_watched_folder()
    {
        using TemporaryFolder folder = new();
        string settings = await WriteSettingsAsync(folder, new ServiceSettings
        {
            Register = RegisterPath,
            Broker = new BrokerSettings { Port = TestPeers.FreePort.Find() },
            Drops = new DropSettings { Folder = "drops", SettleSeconds = 0 },
            Web = null,
        });
        Directory.CreateDirectory(folder.File("drops"));
        await File.WriteAllTextAsync(folder.File("drops", $"{Vessel}.csv"), "time,gas_pressure_bar\n2025-06-03T07:30:00Z,100\n", Ended);
        using ProgramRun service = ProgramRun.Start("run", "--settings", settings);
        using (FileSystemWatcher done = new(folder.Path) { IncludeSubdirectories = true })
        {
            while (!File.Exists(folder.File("drops", "done", $"{Vessel}.csv")) && !service.HasExited)
            {
                done.WaitForChanged(WatcherChangeTypes.All, 500);
            }
        }

        Assert.True(await service.TerminateAsync() == 0, await service.Errors + await service.Output);
        Assert.True(File.Exists(folder.File("drops", "done", $"{Vessel}.csv")));
        using var store = new PlantStore(new StoreOptions { Path = folder.File("data", "driftwatch.db") });
        Assert.Equal(1, store.ReadingCounts().Sum(count => count.Count));
    }

    [Fact]
    public async Task An_embedded_broker_open_to_others_without_credentials_does_not_start()
    {
        using TemporaryFolder folder = new();
        string settings = await WriteSettingsAsync(folder, new ServiceSettings { Register = RegisterPath, Broker = new BrokerSettings { Address = "0.0.0.0" } });
        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("run", "--settings", settings);
        Assert.NotEqual(0, exitCode);
        Assert.Contains("broker.address is '0.0.0.0', which other machines reach: give broker.userName and a password", errors, StringComparison.Ordinal);
    }

    private static async Task<string> WriteSettingsAsync(TemporaryFolder folder, ServiceSettings settings)
    {
        string file = folder.File("driftwatch.json");
        await File.WriteAllTextAsync(file, SettingsJson.Write(settings), Ended);
        return file;
    }
}
