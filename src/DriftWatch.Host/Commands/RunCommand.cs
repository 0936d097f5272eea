using System.CommandLine;
using DriftWatch.Acquisition.Door;
using DriftWatch.Host.Settings;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Commands;

/// <summary>Runs the service until it is stopped.</summary>
internal static class RunCommand
{
    public static Command Create()
    {
        Option<FileInfo> settings = new("--settings")
        {
            Description = "Settings file.",
            DefaultValueFactory = _ => new FileInfo("driftwatch.json"),
        };
        Command command = new("run", "Run the service: take readings over MQTT, assess, draw, deliver jobs.") { settings };
        command.SetAction((parsed, stop) => RunAsync(parsed.GetRequiredValue(settings), stop));
        return command;
    }

    private static async Task<int> RunAsync(FileInfo file, CancellationToken stop)
    {
        if (!file.Exists)
        {
            await Console.Error.WriteLineAsync($"There is no settings file {file.FullName}. Name one with --settings; 'driftwatch example-settings' prints one to start from.");
            return ExitCode.BadInput;
        }

        (ServiceSettings? settings, IReadOnlyList<string> faults) = SettingsReader.Read(file.FullName);
        foreach (string fault in faults)
        {
            await Console.Error.WriteLineAsync($"{file.Name}: {fault}");
        }

        if (settings is null || RegisterFile.Open(settings.Register, Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        using IHost host = ServiceComposition.Build(settings, register, TimeProvider.System, new ReadingDoorOptions(), LogLevel.Information);
        HostLog.Starting(
            host.Services.GetRequiredService<ILoggerFactory>().CreateLogger("DriftWatch"),
            register.Plant, register.Vessels.Count, ServiceComposition.StorePath(settings), settings.Queue.Folder);
        await host.RunAsync(stop);
        return ExitCode.Done;
    }
}
