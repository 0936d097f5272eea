using System.CommandLine;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Replay;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Commands;

/// <summary>Shows the pages on what a store holds and takes in nothing: to look at a demo, a copy or a plant of the past.</summary>
internal static class PagesCommand
{
    public static Command Create()
    {
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new("pages", "Show the pages on what a store holds, as of its newest assessment; takes no readings and raises no jobs.") { settings };
        command.SetAction((parsed, stop) => RunAsync(parsed.GetRequiredValue(settings), stop));
        return command;
    }

    private static async Task<int> RunAsync(FileInfo file, CancellationToken stop)
    {
        if (SettingsOption.Read(file, Console.Error) is not { } settings
            || RegisterFile.Open(settings.Register, Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        if (settings.Web is not { } web)
        {
            await Console.Error.WriteLineAsync($"{file.Name} has \"web\": null: give it an address and a port to show pages on.");
            return ExitCode.BadInput;
        }

        string[] missing = [.. web.Missing()];
        if (missing.Length > 0)
        {
            await Console.Error.WriteLineAsync(string.Join(Environment.NewLine, missing.Select(fault => $"{file.Name}: {fault}")));
            return ExitCode.BadInput;
        }

        using PlantStore? store = ExistingStore.Open(settings, Console.Error);
        if (store is null)
        {
            return ExitCode.BadInput;
        }

        using ILoggerFactory log = LoggerFactory.Create(logging =>
        {
            new LogThreshold(settings.Log.LeastLevel).Filter(logging);
            ServiceLog.Add(logging, settings.Log);
        });
        await using var worker = new DeskWorker(new Desk(new LiveRegister(register, store, store), store, ClockOf(store), ServiceComposition.UnitOf(settings)) { KeyFolder = ServiceComposition.KeyFolder(settings), Alarms = settings.Alarms }, web, log);
        await worker.StartAsync(stop);
        Console.WriteLine($"Pages of {register.Plant} at {worker.Address} (stop with Ctrl+C)");
        try
        {
            await Task.Delay(Timeout.Infinite, stop);
        }
        catch (OperationCanceledException)
        {
            await worker.StopAsync(CancellationToken.None);
        }

        return ExitCode.Done;
    }

    /// <summary>Nothing comes in, so time stands still where the store ends: a plant of the past has not fallen silent.</summary>
    private static PlantClock ClockOf(PlantStore store)
    {
        var clock = new ReplayClock();
        foreach (DateTimeOffset asOf in store.LastAssessments().Values.Select(assessment => assessment.AsOf))
        {
            if (asOf > clock.GetUtcNow())
            {
                clock.Reach(asOf);
            }
        }

        return new PlantClock(clock);
    }
}
