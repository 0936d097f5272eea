using DriftWatch.Delivery.Dispatch;
using DriftWatch.Delivery.Files;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Delivery.Tests.Crash;

/// <summary>
/// The process that the kill test kills: raises jobs up to a number and delivers them, and says so. It ends when all jobs
/// that there are to be are delivered; with fewer it waits to be killed, however late that is.
/// </summary>
internal static class DeliveringProcess
{
    public const string Command = "deliver-until-killed";

    public const int Notices = 400;

    /// <summary>Jobs are raised no further ahead of those taken, so that a kill meets the raising as well as the delivering.</summary>
    private const int Ahead = 8;

    private static readonly string[] Channels = ["files", "csv", "calendar", "mqtt"];

    public static StoreOptions StoreIn(string folder) => new() { Path = Path.Combine(folder, "plant.db"), Channels = Channels };

    public static JobNotice Notice(int number) => Given.Opened(Given.Job($"V{number % 7}", $"job-{number:D4}"));

    public static async Task<int> RunAsync(string folder, int brokerPort, int most)
    {
        using PlantStore store = new(StoreIn(folder));
        using CsvChannel csv = new("csv", Path.Combine(folder, "csv"));
        await using MqttJobChannel mqtt = new(new MqttJobOptions { Host = "127.0.0.1", Port = brokerPort });
        using SemaphoreSlim room = new(Ahead);
        IJobChannel[] channels =
        [
            new Telling(new FileQueueChannel("files", Path.Combine(folder, "files")), room), csv,
            new CalendarChannel("calendar", Path.Combine(folder, "calendar")), mqtt,
        ];
        using CancellationTokenSource stop = new();
        OutboxDispatcher dispatcher = new(store, channels, new DispatchOptions(), TimeProvider.System, new Random(1), NullLogger<OutboxDispatcher>.Instance);
        Task delivering = dispatcher.RunAsync(stop.Token);
        for (int number = store.Jobs().Count; number < most; number++)
        {
            await room.WaitAsync();
            store.Save(Given.Step(Notice(number)));
            dispatcher.Signal();
        }

        while (store.WaitingNotices().Count > 0)
        {
            dispatcher.Signal();
            await Task.Delay(20);
        }

        if (most < Notices)
        {
            await Task.Delay(Timeout.Infinite);
        }

        await stop.CancelAsync();
        await delivering;
        Console.Out.WriteLine("all delivered");
        return 0;
    }

    /// <summary>Says when a notice has been taken, before the outbox hears of it.</summary>
    private sealed class Telling(IJobChannel channel, SemaphoreSlim room) : IJobChannel
    {
        public string Name => channel.Name;

        public async Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken)
        {
            await channel.DeliverAsync(notice, cancellationToken);
            Console.Out.WriteLine("taken");
            _ = room.Release();
        }
    }
}
