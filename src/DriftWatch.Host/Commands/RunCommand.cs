using System.CommandLine;
using DriftWatch.Acquisition.Door;
using DriftWatch.Host.Keeping;
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
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new("run", "Run the service: take readings over MQTT, assess, draw, deliver jobs.") { settings };
        command.SetAction((parsed, stop) => RunAsync(parsed.GetRequiredValue(settings), stop));
        return command;
    }

    private static async Task<int> RunAsync(FileInfo file, CancellationToken stop)
    {
        // The command line listens for the signal to stop only once this has given way: before, it would end the process at once.
        await Task.Yield();
        if (SettingsOption.Read(file, Console.Error, toRun: true) is not { } settings
            || RegisterFile.Open(settings.Register, Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        DataFolder.Make(settings.DataFolder);
        using FolderClaim? claim = FolderClaim.On(settings.DataFolder);
        if (claim is null)
        {
            await Console.Error.WriteLineAsync($"{file.Name}: dataFolder: another service runs on '{settings.DataFolder}'. Stop it first, or give this one a folder of its own.");
            return ExitCode.BadInput;
        }

        using IHost host = ServiceComposition.Build(settings, register, TimeProvider.System, new ReadingDoorOptions(), new LogThreshold(settings.Log.LeastLevel), file.FullName);
        HostLog.Starting(
            host.Services.GetRequiredService<ILoggerFactory>().CreateLogger("DriftWatch"),
            register.Plant, register.Vessels.Count, ServiceComposition.StorePath(settings), settings.Queue.Folder);
        return await UntilStoppedAsync(host, stop);
    }

    /// <summary>Starts the service, and waits until it is asked to stop or a part of it ends by itself.</summary>
    internal static async Task<int> UntilStoppedAsync(IHost host, CancellationToken stop)
    {
        CancellationToken stopping = host.Services.GetRequiredService<IHostApplicationLifetime>().ApplicationStopping;
        ILogger log = host.Services.GetRequiredService<ILoggerFactory>().CreateLogger("DriftWatch");
        bool failed = false;
        await using CancellationTokenRegistration ended = stopping.Register(() =>
        {
            foreach (BackgroundService part in host.Services.GetServices<IHostedService>().OfType<BackgroundService>())
            {
                if (part.ExecuteTask is { IsFaulted: true, Exception: { } fault })
                {
                    failed = true;
                    HostLog.PartEnded(log, fault.GetBaseException(), part.GetType().Name, fault.GetBaseException().Message);
                }
            }
        });
        try
        {
            await host.StartAsync(stop);
            await host.WaitForShutdownAsync(stop);
        }
        catch (OperationCanceledException) when (stop.IsCancellationRequested || stopping.IsCancellationRequested)
        {
            // Asked to stop while still starting: what had started by then is put in order.
            await host.StopAsync(CancellationToken.None);
        }
        catch
        {
            // The same, before the store is closed under it. Why it could not start is what counts.
            await host.StopAsync(CancellationToken.None).ConfigureAwait(ConfigureAwaitOptions.SuppressThrowing);
            throw;
        }

        return failed ? ExitCode.Failed : ExitCode.Done;
    }
}
