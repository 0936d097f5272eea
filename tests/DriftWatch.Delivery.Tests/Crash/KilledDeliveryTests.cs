using System.Collections.Concurrent;
using System.Diagnostics;
using System.Globalization;
using System.Text.Json.Nodes;
using DriftWatch.Delivery.Files;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Delivery.Tests.Crash;

/// <summary>SIGKILL at random moments of raising and delivering: every notice arrives at least once on every channel.</summary>
public sealed class KilledDeliveryTests : IDisposable
{
    private const int Kills = 8;

    /// <summary>Notices that each run raises.</summary>
    private const int Share = DeliveringProcess.Notices / (Kills + 1);

    private readonly TempFolder _folder = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Every_notice_arrives_however_often_the_service_is_killed()
    {
        int seed = Random.Shared.Next();
        TestContext.Current.TestOutputHelper?.WriteLine($"seed {seed}");
        Random random = new(seed);
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using IMqttClient subscriber = new MqttClientFactory().CreateMqttClient();
        ConcurrentDictionary<string, int> arrived = [];
        subscriber.ApplicationMessageReceivedAsync += message =>
        {
            _ = arrived.TryAdd((string)JsonNode.Parse(message.ApplicationMessage.ConvertPayloadToString())!["id"]!, 0);
            return Task.CompletedTask;
        };
        _ = await subscriber.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), Ended);
        _ = await subscriber.SubscribeAsync("driftwatch/jobs/+/+", MqttQualityOfServiceLevel.AtLeastOnce, Ended);

        for (int kill = 1; kill <= Kills; kill++)
        {
            await RunAsync(broker.Port, kill * Share, random);
        }

        await RunAsync(broker.Port, DeliveringProcess.Notices, random: null);
        string[] expected = [.. Enumerable.Range(0, DeliveringProcess.Notices).Select(number => DeliveringProcess.Notice(number).Key).Order(StringComparer.Ordinal)];
        using PlantStore store = new(DeliveringProcess.StoreIn(_folder.Path));
        Assert.Equal(expected.Length, store.Jobs().Count);
        Assert.Empty(store.DeadLetters());

        // Files and rows stand there once; the broker may have got a notice twice. All were acknowledged, so all are on their way.
        FileQueueChannel files = new("files", Path.Combine(_folder.Path, "files"));
        Assert.All(Enumerable.Range(0, DeliveringProcess.Notices), number => Assert.True(File.Exists(files.PathOf(DeliveringProcess.Notice(number)))));
        Assert.Equal(expected.Length, Directory.GetFiles(Path.Combine(_folder.Path, "files"), "*.json").Length);
        string[] rows = await File.ReadAllLinesAsync(Path.Combine(_folder.Path, "csv", "jobs-2025.csv"), Ended);
        Assert.Equal(expected, rows.Skip(1).Select(row => row[1..row.IndexOf("\",", StringComparison.Ordinal)]).Order(StringComparer.Ordinal));
        Assert.Equal(expected.Length, Directory.GetFiles(Path.Combine(_folder.Path, "calendar"), "*.ics").Length);
        Stopwatch waited = Stopwatch.StartNew();
        while (arrived.Count < expected.Length && waited.Elapsed < MosquittoBroker.Patience)
        {
            await Task.Delay(20, Ended);
        }

        Assert.Equal(expected, arrived.Keys.Order(StringComparer.Ordinal));
    }

    /// <summary>Runs the process, which raises notices up to a number, to its end; given a random source, to its kill.</summary>
    private async Task RunAsync(int brokerPort, int most, Random? random)
    {
        using Process process = Process.Start(new ProcessStartInfo(
            "dotnet",
            [
                typeof(DeliveringProcess).Assembly.Location, DeliveringProcess.Command, _folder.Path,
                brokerPort.ToString(CultureInfo.InvariantCulture), most.ToString(CultureInfo.InvariantCulture),
            ])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
        })!;
        Task<string> errors = process.StandardError.ReadToEndAsync(Ended);
        int reports = random?.Next(1, Share) ?? int.MaxValue;
        bool finished = false;
        while (await process.StandardOutput.ReadLineAsync(Ended) is { } line)
        {
            finished |= line == "all delivered";
            if (--reports == 0)
            {
                Thread.SpinWait(random!.Next(500_000));
                process.Kill();
            }
        }

        await process.WaitForExitAsync(Ended);
        Assert.True(random is null ? finished : reports <= 0, $"ended by itself: {await errors}");
    }
}
