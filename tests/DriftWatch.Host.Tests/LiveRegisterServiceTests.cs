using System.Globalization;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Replay;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Host.Tests;

/// <summary>The running service with a real mosquitto: records from another process, a file changed by hand, a kill between.</summary>
public sealed class LiveRegisterServiceTests
{
    private const string Vessel = "SH1-A2";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_charge_recorded_beside_it_counts_though_it_was_killed_before_it_looked()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using TemporaryFolder folder = new();
        string settings = await WriteSettingsAsync(folder, broker.Port);
        VesselRegister register = SampleReadings.Register();
        VesselReading[] readings = SampleReadings.Of(register, Vessel);
        PlantStore store;
        Job open;
        using (ProgramRun service = ProgramRun.Start("run", "--settings", settings))
        {
            await broker.SaysAsync("Received SUBSCRIBE from driftwatch");
            await new StreamReplay(register, "127.0.0.1", broker.Port)
                .PlayAsync([Path.Combine(Repository.SampleStreams, Vessel + ".csv.gz")], (_, _) => { }, Ended);
            store = new PlantStore(new StoreOptions { Path = folder.File("data", "driftwatch.db") });
            await UntilAsync(() => store.ReadingCounts().Sum(count => count.Count) == readings.Length && store.Waiting().Count == 0 && Below(store) is not null);
            open = Below(store)!;
            string at = open.Raised.AddDays(1).UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss'Z'", CultureInfo.InvariantCulture);
            (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync(
                "records", "charge", Vessel, "--by", "M. Fitter", "--at", at, "--bar-gauge", "90", "--celsius", "20", "--isolated-and-released", "--settings", settings);
            await service.KillAsync();
            Assert.True(exitCode == 0, output + errors);
        }

        using (store)
        using (ProgramRun again = ProgramRun.Start("run", "--settings", settings))
        {
            await UntilAsync(() => store.LastNotices(Vessel).Any(notice => notice.Job.Key == open.Key && notice.End == JobEnd.Charged));

            // The one that was killed may have looked in time: then nothing above has waited for this one.
            _ = await again.SaysAsync("Application started");
            Assert.True(await again.TerminateAsync() == 0, await again.Errors + await again.Output);

            DateTimeOffset now = TimeProvider.System.GetUtcNow();
            using var expected = new PlantStore(new StoreOptions { Path = folder.File("expected.db") });
            expected.Record(Assert.Single(store.Work()).Record);
            expected.Commit(readings, []);
            AssessTo(expected, register, now);
            AssessTo(store, register, now);
            Answers.AssertSameState(expected, store, Vessel, now);
        }
    }

    [Fact]
    public async Task A_register_changed_by_hand_is_taken_in_with_its_topics_and_a_spoilt_one_is_refused()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        using TemporaryFolder folder = new();
        string settings = await WriteSettingsAsync(folder, broker.Port);
        using ProgramRun service = ProgramRun.Start("run", "--settings", settings);
        await broker.SaysAsync("Received SUBSCRIBE from driftwatch");
        using var store = new PlantStore(new StoreOptions { Path = folder.File("data", "driftwatch.db") });
        await UntilAsync(() => store.AuditedText() is not null);

        string file = folder.File("register.json");
        string text = await File.ReadAllTextAsync(file, Ended);
        string topic = SampleReadings.Register().Find(Vessel)!.Sources[0].Topic;
        await File.WriteAllTextAsync(file, text.Replace($"\"{topic}\"", "\"quillhaven/moved\"", StringComparison.Ordinal), Ended);
        await broker.SaysAsync("Received UNSUBSCRIBE from driftwatch");
        await broker.PublishAsync("quillhaven/moved", """[{"bt":1748935800,"n":"gas-temperature","u":"Cel","v":20}]""");
        await UntilAsync(() => store.ReadingCounts().Any(count => count.VesselId == Vessel && count.Count == 1));
        Assert.All(store.Audit(Vessel, 100), line => Assert.Equal((RecordSource.File, "\"quillhaven/moved\""), (line.Source, line.After)));

        string good = store.AuditedText()!;
        await File.WriteAllTextAsync(file, good[..^30], Ended);
        await service.SaysAsync("defects; the register before stays in use");
        Assert.Equal(good, store.AuditedText());
        Assert.Equal(0, await service.TerminateAsync());
    }

    private static Job? Below(PlantStore store) => store.OpenJobs(Vessel).FirstOrDefault(job => job.Cause == JobCause.BelowLowerLimit);

    private static void AssessTo(PlantStore store, VesselRegister register, DateTimeOffset now)
    {
        var assessor = new Assessor(new LiveRegister(register, store), store, AlarmHandling.Usual, TimeProvider.System, NullLogger<Assessor>.Instance);
        assessor.TakeInWaiting(CancellationToken.None);
        assessor.LetTimePass(now, CancellationToken.None);
    }

    private static async Task<string> WriteSettingsAsync(TemporaryFolder folder, int port)
    {
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), folder.File("register.json"));
        string file = folder.File("driftwatch.json");
        await File.WriteAllTextAsync(file, SettingsJson.Write(new ServiceSettings
        {
            Register = folder.File("register.json"),
            Web = null,
            Broker = new BrokerSettings { Host = "127.0.0.1", Port = port },
            Queue = new QueueSettings { Mqtt = new MqttJobOptions { Host = "127.0.0.1", Port = port, TopicPrefix = "works/maintenance" } },
        }), Ended);
        return file;
    }

    private static async Task UntilAsync(Func<bool> reached)
    {
        while (!reached())
        {
            await Task.Delay(50, Ended);
        }
    }
}
