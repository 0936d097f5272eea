using System.CommandLine;
using System.Diagnostics;
using System.Net;
using System.Net.Sockets;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Files;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Charting;
using DriftWatch.Host.Output;
using DriftWatch.Host.Replay;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Spectre.Console;

namespace DriftWatch.Host.Commands;

/// <summary>Plays the sample streams through the whole service on embedded parts.</summary>
internal static class DemoCommand
{
    /// <summary>Says that a folder is the demo's own to clear.</summary>
    private const string DemoMark = "made-by-demo.txt";

    private static readonly TimeSpan LookEvery = TimeSpan.FromMilliseconds(100);

    public static Command Create()
    {
        Option<DirectoryInfo> streams = new("--streams")
        {
            Description = "Folder with register.json and the logger files to play.",
            DefaultValueFactory = _ => new DirectoryInfo("sample-streams"),
        };
        Option<DirectoryInfo> output = new("--output")
        {
            Description = "Folder for store, charts and jobs.",
            DefaultValueFactory = _ => new DirectoryInfo("demo-output"),
        };
        Option<bool> goOn = new("--go-on") { Description = "Keep what an earlier demo left in the output folder and go on from there." };
        Option<string> unit = UnitOption.Create();
        Command command = new("demo", "Play the sample streams over MQTT through the whole service, on embedded parts, and show what it says.")
        {
            streams, output, goOn, unit,
        };
        command.SetAction((parsed, stop) => RunAsync(
            parsed.GetRequiredValue(streams).FullName, parsed.GetRequiredValue(output).FullName, parsed.GetValue(goOn),
            UnitOption.Value(parsed, unit), stop));
        return command;
    }

    private static async Task<int> RunAsync(string streams, string output, bool goOn, PressureUnit unit, CancellationToken stop)
    {
        long started = Stopwatch.GetTimestamp();
        if (RegisterFile.Open(Path.Combine(streams, "register.json"), Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        IReadOnlyList<string> files = LoggerFileReader.FilesOf(streams);
        var settings = new ServiceSettings
        {
            Register = Path.Combine(streams, "register.json"),
            DataFolder = Path.Combine(output, "data"),
            ChartFolder = Path.Combine(output, "charts"),
            Broker = new BrokerSettings { Port = FreePort() },
            Queue = new QueueSettings { Folder = Path.Combine(output, "jobs") },
            Web = null,
            PressureUnit = unit.Symbol,
        };
        string mark = Path.Combine(output, DemoMark);
        if (Directory.Exists(output) && Directory.EnumerateFileSystemEntries(output).Any() && !File.Exists(mark))
        {
            await Console.Error.WriteLineAsync($"--output: '{output}' holds what no demo has made. The demo clears its folder: name another one, or an empty one.");
            return ExitCode.BadInput;
        }

        if (!goOn)
        {
            Clear(settings);
        }

        Directory.CreateDirectory(output);
        await File.WriteAllTextAsync(mark, "The demo made this folder, and clears it when it runs again." + Environment.NewLine, stop);

        IAnsiConsole console = Terminal.Create();
        console.WriteLine($"{register.Plant}: {register.Vessels.Count} vessels, streams from {streams}");
        var clock = new ReplayClock();
        using IHost host = ServiceComposition.Build(
            settings, register, clock, new ReadingDoorOptions { AcceptsAnyFuture = true }, new LogThreshold(LogLevel.Warning), tellsPast: true);
        DateTimeOffset end;
        PlantStore store = host.Services.GetRequiredService<PlantStore>();
        List<VesselResult> results;
        try
        {
            await host.StartAsync(stop);
            var replay = new StreamReplay(register, "127.0.0.1", settings.Broker.Port);
            end = await WorkProgress.RunAsync(
                console, "Readings over MQTT", files, told => replay.PlayAsync(files, told, stop));
            await UntilAsync(() => store.Waiting().Count == 0, stop);
            clock.Reach(end);
            host.Services.GetRequiredService<WorkSignal>().Set();
            Assessor assessor = host.Services.GetRequiredService<Assessor>();
            await UntilAsync(() => assessor.PassedTo == end && store.Pending("files", 1).Count == 0, stop);
            results = Results(register, store);
            await WorkProgress.RunAsync(console, "Charts", results, result => ChartFolder.Draw(settings.ChartFolder, result, unit));
        }
        finally
        {
            // However it ends, what still assesses must not find the store closed.
            await host.StopAsync(CancellationToken.None);
        }

        string settingsFile = Path.Combine(output, "driftwatch.json");
        await File.WriteAllTextAsync(settingsFile, SettingsJson.Write(settings with { Broker = new BrokerSettings(), Web = new WebSettings() }), stop);
        VerdictTable.Write(console, results, unit);
        VerdictTable.WriteReasons(console, results, unit);
        console.WriteLine();
        console.WriteLine($"Charts: {settings.ChartFolder}");
        console.WriteLine($"Jobs:   {settings.Queue.Folder} ({Directory.GetFiles(settings.Queue.Folder, "*.json").Length} documents)");
        console.WriteLine($"Store:  {ServiceComposition.StorePath(settings)}");
        console.WriteLine($"Pages:  run the command 'pages --settings {settingsFile}' and open what it names in a browser.");
        console.WriteLine(FormattableString.Invariant(
            $"{store.ReadingCounts().Sum(count => count.Count)} readings up to {end:yyyy-MM-dd} in {Stopwatch.GetElapsedTime(started).TotalSeconds:0} s. The program advises; it does not certify a vessel."));
        CautionLines.Write(Console.Out);
        return ExitCode.Done;
    }

    private static List<VesselResult> Results(VesselRegister register, PlantStore store) =>
    [
        .. from vessel in register.Vessels
           let assessment = store.LastAssessment(vessel.Id)
           where assessment is not null
           select new VesselResult(vessel, store.Windows(vessel.Id), assessment),
    ];

    /// <summary>Of a folder that a demo made.</summary>
    private static void Clear(ServiceSettings settings)
    {
        foreach (string folder in (IEnumerable<string>)[settings.DataFolder, settings.ChartFolder, settings.Queue.Folder])
        {
            if (Directory.Exists(folder))
            {
                Directory.Delete(folder, recursive: true);
            }
        }
    }

    private static int FreePort()
    {
        using var listener = new TcpListener(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }

    private static async Task UntilAsync(Func<bool> reached, CancellationToken stop)
    {
        while (!reached())
        {
            await Task.Delay(LookEvery, stop);
        }
    }
}
