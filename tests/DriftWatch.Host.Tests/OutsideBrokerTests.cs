using System.Text.Json;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Host.Replay;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using MQTTnet;

namespace DriftWatch.Host.Tests;

/// <summary>The service as a plant runs it: settings file, a real mosquitto for readings and for jobs.</summary>
public sealed class OutsideBrokerTests
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("5")]
    [InlineData("3.1.1")]
    public async Task Readings_come_from_it_and_jobs_go_to_it_and_a_restart_repeats_nothing(string version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using TemporaryFolder folder = new();
        string settings = await WriteSettingsAsync(folder, broker.Port, version);
        VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;

        // SH1-A2 bursts: its job is due whatever the calendar says on the day of the test.
        TaskCompletionSource<string> published = new(TaskCreationOptions.RunContinuationsAsynchronously);
        using IMqttClient queue = new MqttClientFactory().CreateMqttClient();
        queue.ApplicationMessageReceivedAsync += args =>
        {
            published.TrySetResult(args.ApplicationMessage.ConvertPayloadToString());
            return Task.CompletedTask;
        };
        await queue.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), Ended);
        await queue.SubscribeAsync("works/maintenance/jobs/SH1-A2/belowLowerLimit", cancellationToken: Ended);

        using (ProgramRun service = ProgramRun.Start("run", "--settings", settings))
        {
            await SubscribedAsync(broker);
            await new StreamReplay(register, "127.0.0.1", broker.Port)
                .PlayAsync([Path.Combine(Repository.SampleStreams, "SH1-A2.csv.gz")], (_, _) => { }, Ended);
            string document = await published.Task.WaitAsync(MosquittoBroker.Patience, Ended);

            // Told over MQTT it may not be in the folder yet, and readings may still wait: what is left would be done after the restart.
            int readings = SampleReadings.Of(register, "SH1-A2").Length;
            using (PlantStore store = new(new StoreOptions { Path = folder.File("data", "driftwatch.db") }))
            {
                while (store.ReadingCounts().Sum(count => count.Count) < readings || store.Waiting().Count > 0 || store.WaitingNotices().Count > 0)
                {
                    await Task.Delay(20, Ended);
                }
            }

            Assert.Equal("SH1-A2", JsonDocument.Parse(document).RootElement.GetProperty("job").GetProperty("vessel").GetProperty("id").GetString());
            Assert.True(await service.TerminateAsync() == 0, await service.Errors + await service.Output);
        }

        string[] jobs = Directory.GetFiles(folder.File("queue"), "*SH1-A2-BelowLowerLimit*");
        Assert.Single(jobs);
        DateTime written = File.GetLastWriteTimeUtc(jobs[0]);
        using (ProgramRun again = ProgramRun.Start("run", "--settings", settings))
        {
            await SubscribedAsync(broker);
            Assert.True(await again.TerminateAsync() == 0, await again.Errors + await again.Output);
        }

        Assert.Equal(jobs, Directory.GetFiles(folder.File("queue"), "*SH1-A2-BelowLowerLimit*"));
        Assert.Equal(written, File.GetLastWriteTimeUtc(jobs[0]));
    }

    [Fact]
    public async Task A_message_that_cannot_be_read_is_set_aside_and_stays_readable()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using TemporaryFolder folder = new();
        string settings = await WriteSettingsAsync(folder, broker.Port, "5");
        using (ProgramRun service = ProgramRun.Start("run", "--settings", settings))
        {
            await SubscribedAsync(broker);
            VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
            string topic = register.Find("SH1-A2")!.Sources[0].Topic;
            await broker.PublishAsync(topic, "{\"this is\": \"no reading");
            using var store = new PlantStore(new StoreOptions { Path = folder.File("data", "driftwatch.db") });
            while (store.Quarantine().Count == 0)
            {
                await Task.Delay(20, Ended);
            }

            QuarantineSource source = Assert.Single(store.Quarantine());
            Assert.Equal(topic, source.Source);
            Assert.Equal("{\"this is\": \"no reading"u8.ToArray(), source.Kept[0].Payload.ToArray());
            Assert.NotEmpty(source.Kept[0].Reason);
            Assert.Equal(0, await service.TerminateAsync());
        }

        (int exitCode, string output, _) = await ProgramRun.ToEndAsync("set-aside", "--settings", settings);
        Assert.Equal(0, exitCode);
        Assert.Contains("no reading", output, StringComparison.Ordinal);
    }

    private static async Task<string> WriteSettingsAsync(TemporaryFolder folder, int port, string version)
    {
        string file = folder.File("driftwatch.json");
        string text = SettingsJson.Write(new ServiceSettings
        {
            Register = Path.Combine(Repository.SampleStreams, "register.json"),
            Web = null,
            Broker = new BrokerSettings { Host = "127.0.0.1", Port = port, Version = version },
            Queue = new QueueSettings { Mqtt = new MqttJobOptions { Host = "127.0.0.1", Port = port, TopicPrefix = "works/maintenance" } },
        });
        await File.WriteAllTextAsync(file, text, Ended);
        return file;
    }

    private static Task SubscribedAsync(MosquittoBroker broker) => broker.SaysAsync("Received SUBSCRIBE from driftwatch");
}
