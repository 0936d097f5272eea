using System.Diagnostics;
using System.Globalization;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.IngestBenchmark;

/// <summary>
/// Messages a second from a real mosquitto into the store, durable before acknowledged, against a bare QoS 1 subscriber
/// on the same broker that acknowledges and stores nothing. Once with messages sent while they are received (publisher,
/// broker and subscriber share the processor, as on a small plant server), once with all messages waiting in the session.
/// </summary>
internal static class DurableIngest
{
    private const int Vessels = 100;
    private const int Messages = 60_000;
    private const int Rounds = 3;

    public static async Task RunAsync()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync(quiet: true);
        ReadingDecoder decoder = new(BenchmarkPlant.Register(Vessels));
        foreach (bool waiting in (bool[])[false, true])
        {
            List<double> ratios = [];
            for (int round = 0; round <= Rounds; round++)
            {
                double bare = await MeasureAsync(broker, "bare", waiting, () => BareAsync(broker.Port, "bare"));
                double durable = await MeasureAsync(broker, "durable", waiting, () => DurableAsync(broker.Port, "durable", decoder));
                if (round > 0)
                {
                    ratios.Add(durable / bare);
                    Console.WriteLine($"messages/s (two readings each), {(waiting ? "all waiting" : "being sent")}: bare subscriber {bare:N0}, durable ingest {durable:N0}; ratio {durable / bare:F2}");
                }
            }

            ratios.Sort();
            Console.WriteLine($"durable ingest / bare subscriber, {(waiting ? "all waiting" : "being sent")}, median of {Rounds}: {ratios[Rounds / 2]:F2}");
        }
    }

    private static async Task<double> MeasureAsync(MosquittoBroker broker, string clientId, bool waiting, Func<Task> subscriber)
    {
        using (IMqttClient session = await ConnectAsync(broker.Port, clientId))
        {
            await session.SubscribeAsync("works/#", MqttQualityOfServiceLevel.AtLeastOnce);
            await session.DisconnectAsync(sessionExpiryInterval: 3600);
        }

        if (waiting)
        {
            await PublishAsync(broker.Port);
        }

        long start = Stopwatch.GetTimestamp();
        Task publishing = waiting ? Task.CompletedTask : PublishAsync(broker.Port);
        await subscriber();
        double rate = Messages / Stopwatch.GetElapsedTime(start).TotalSeconds;
        await publishing;

        // The session goes, so that the next round's messages wait for its own subscriber only.
        using IMqttClient end = new MqttClientFactory().CreateMqttClient();
        await end.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).WithClientId(clientId).WithCleanStart(true).Build());
        await end.DisconnectAsync();
        return rate;
    }

    private static async Task PublishAsync(int port)
    {
        using IMqttClient publisher = await ConnectAsync(port, "publisher");
        List<Task> sent = [];
        for (int i = 0; i < Messages; i++)
        {
            sent.Add(publisher.PublishStringAsync(BenchmarkPlant.Topic(i % Vessels), Payload(i / Vessels), MqttQualityOfServiceLevel.AtLeastOnce));
            if (sent.Count == 500)
            {
                await Task.WhenAll(sent);
                sent.Clear();
            }
        }

        await Task.WhenAll(sent);
    }

    private static async Task BareAsync(int port, string clientId)
    {
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        TaskCompletionSource all = new(TaskCreationOptions.RunContinuationsAsynchronously);
        int received = 0;
        client.ApplicationMessageReceivedAsync += args =>
        {
            if (Interlocked.Increment(ref received) == Messages)
            {
                all.TrySetResult();
            }

            return Task.CompletedTask;
        };
        await client.ConnectAsync(Options(port, clientId));
        await all.Task;
        await client.DisconnectAsync();
    }

    private static async Task DurableAsync(int port, string clientId, ReadingDecoder decoder)
    {
        using ScratchFolder folder = new();
        using PlantStore store = new(new StoreOptions { Path = folder.Store });
        MqttSubscriberOptions options = new() { Port = port, ClientId = clientId, TopicFilters = ["works/#"] };
        MqttSubscriber subscriber = new(options, decoder, store, TimeProvider.System, NullLogger<MqttSubscriber>.Instance);
        using CancellationTokenSource stop = new();
        Task run = subscriber.RunAsync(stop.Token);
        while (subscriber.Status.MessagesCommitted < Messages)
        {
            await Task.Delay(5);
        }

        await stop.CancelAsync();
        await run;
        if (store.ReadingCounts().Sum(count => count.Count) != 2 * Messages)
        {
            throw new InvalidOperationException("The store does not hold what was sent.");
        }
    }

    private static string Payload(int minute) => string.Create(
        CultureInfo.InvariantCulture,
        $$"""[{"bt":{{BenchmarkPlant.Minute(minute).ToUnixTimeSeconds()}},"n":"p","u":"bar","v":{{100 + (minute % 50 / 100.0)}}},{"n":"t","u":"Cel","v":{{20 + (minute % 90 / 10.0)}}}]""");

    private static async Task<IMqttClient> ConnectAsync(int port, string clientId)
    {
        IMqttClient client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(Options(port, clientId));
        return client;
    }

    private static MqttClientOptions Options(int port, string clientId) => new MqttClientOptionsBuilder()
        .WithTcpServer("127.0.0.1", port).WithClientId(clientId).WithCleanStart(false).WithSessionExpiryInterval(3600).WithReceiveMaximum(2000)
        .WithTimeout(TimeSpan.FromSeconds(60)).Build();
}
