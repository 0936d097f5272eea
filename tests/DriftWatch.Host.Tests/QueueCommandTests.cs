using System.Text.Json.Nodes;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Safety;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Tests;

/// <summary>What the person who looks after the queues does at the command line.</summary>
public sealed class QueueCommandTests : IDisposable
{
    private static readonly DateTimeOffset Instant = new(2025, 3, 1, 6, 0, 0, TimeSpan.Zero);

    private readonly TemporaryFolder _folder = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task Bad_channels_are_refused_at_start_with_every_field_named_and_no_secret_shown()
    {
        await File.WriteAllTextAsync(_folder.File("secret"), "hunter2-hunter2", Ended);
        string settings = Settings(
            """
            {
              "mqtt": { "host": "", "port": 70000, "version": "4", "password": { "environmentVariable": "DRIFTWATCH_NOT_SET" }, "tls": { "authorityFile": "none.pem" } },
              "webhooks": [ { "url": "works.invalid/jobs" }, { "url": "https://works.invalid/jobs", "signingSecret": { "file": "secret" }, "templateFile": "none.json" } ],
              "amqp": { "host": "h", "routingKey": "" },
              "amqp10": { "host": "h", "address": "" },
              "mail": { "host": "h", "from": "x", "to": [], "security": "maybe" },
              "answers": { "amqpQueue": "answers" }
            }
            """);
        (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync("run", "--settings", settings);
        Assert.Equal(2, exitCode);
        foreach (string field in (string[])[
            "mqtt.host", "mqtt.port", "mqtt.version", "mqtt.userName", "mqtt.password", "mqtt.tls.authorityFile", "webhooks[0].url", "webhooks[1].signingSecret",
            "webhooks[1].templateFile", "amqp.routingKey", "amqp10.address", "mail.from", "mail.to", "mail.security", "answers.signingSecret"])
        {
            Assert.Contains($"queue.{field}", errors, StringComparison.Ordinal);
        }

        Assert.Contains("queue holds 2 channels with the name 'webhook'", errors, StringComparison.Ordinal);
        Assert.DoesNotContain("hunter2", output + errors, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_field_that_there_is_not_is_refused()
    {
        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("run", "--settings", Settings("""{ "mqtt": { "host": "h", "colour": "red" } }"""));
        Assert.Equal(2, exitCode);
        Assert.Contains("colour", errors, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_test_proves_a_channel_or_says_what_is_wrong()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        string settings = Settings($$"""{ "mqtt": { "host": "127.0.0.1", "port": {{broker.Port}} } }""");
        (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync("queue", "test-send", "files", "--settings", settings);
        Assert.True(exitCode == 0, errors);
        Assert.Contains("has taken the test", output, StringComparison.Ordinal);
        JsonNode document = JsonNode.Parse(await File.ReadAllTextAsync(Assert.Single(Directory.GetFiles(_folder.File("queue"))), Ended))!;
        Assert.Equal("driftwatch.channel.test", (string?)document["type"]);

        (exitCode, _, errors) = await ProgramRun.ToEndAsync("queue", "test-send", "mqtt", "--settings", settings);
        Assert.True(exitCode == 0, errors);
        await broker.SaysAsync("'driftwatch/channel-test'");
        await broker.StopAsync();
        (exitCode, _, errors) = await ProgramRun.ToEndAsync("queue", "test-send", "mqtt", "--settings", settings);
        Assert.Equal(3, exitCode);
        Assert.Contains("Channel 'mqtt' did not take the test", errors, StringComparison.Ordinal);

        (exitCode, _, errors) = await ProgramRun.ToEndAsync("queue", "test-send", "pigeon", "--settings", settings);
        Assert.Equal(2, exitCode);
        Assert.Contains("files, mqtt", errors, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Dead_letters_are_shown_and_sent_again()
    {
        string settings = Settings("{}");
        using (PlantStore store = Store())
        {
            long sequence = store.Pending("files", 1)[0].Sequence;
            store.MarkFailed("files", sequence, "disk is read-only");
            store.SetAside("files", sequence, Instant);
        }

        (_, string output, _) = await ProgramRun.ToEndAsync("queue", "status", "--settings", settings);
        Assert.Contains("files: 0 waiting, 1 set aside", output, StringComparison.Ordinal);
        (_, output, _) = await ProgramRun.ToEndAsync("queue", "dead-letters", "--settings", settings);
        Assert.Contains("files 1: A/job/open/1, set aside 2025-03-01T06:00:00Z after 1 tries", output, StringComparison.Ordinal);
        Assert.Contains("disk is read-only", output, StringComparison.Ordinal);
        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("queue", "resend", "files", "7", "--settings", settings);
        Assert.Equal(2, exitCode);
        Assert.Contains("dead-letters", errors, StringComparison.Ordinal);
        (exitCode, output, errors) = await ProgramRun.ToEndAsync("queue", "resend", "files", "--settings", settings);
        Assert.True(exitCode == 0, errors);
        Assert.Contains("A/job/open/1 waits again", output, StringComparison.Ordinal);
        (_, output, _) = await ProgramRun.ToEndAsync("queue", "status", "--settings", settings);
        Assert.Contains("files: 1 waiting, 0 set aside", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Dead_letters_of_alarms_are_shown_and_sent_again_as_those_of_jobs()
    {
        string settings = Settings("""{ "mqtt": { "host": "127.0.0.1", "port": 1, "alarms": true } }""");
        using (PlantStore store = Store("mqtt"))
        {
            store.Save(Step([]) with { AlarmChanges = [new AlarmChange("A", AlarmKind.BelowLowerLimit, Instant, AlarmEvent.ConditionOn, Priority.High, "below its lower limit")] });
            Assert.Equal(1, store.TellAlarms(Instant, _ => "Hall 2"));
            OutboxEntry entry = Assert.Single(store.Pending("mqtt", 10));
            store.MarkFailed("mqtt", entry.Sequence, "too large");
            store.SetAside("mqtt", entry.Sequence, Instant);
        }

        (_, string output, _) = await ProgramRun.ToEndAsync("queue", "status", "--settings", settings);
        Assert.Contains("mqtt: 0 waiting, 1 set aside", output, StringComparison.Ordinal);
        (_, output, _) = await ProgramRun.ToEndAsync("queue", "dead-letters", "--settings", settings);
        Assert.Contains("mqtt 2: A/BelowLowerLimit/1, set aside 2025-03-01T06:00:00Z after 1 tries", output, StringComparison.Ordinal);
        Assert.Contains("too large", output, StringComparison.Ordinal);
        (int exitCode, output, string errors) = await ProgramRun.ToEndAsync("queue", "resend", "mqtt", "2", "--settings", settings);
        Assert.True(exitCode == 0, errors);
        Assert.Contains("A/BelowLowerLimit/1 waits again", output, StringComparison.Ordinal);
        (_, output, _) = await ProgramRun.ToEndAsync("queue", "status", "--settings", settings);
        Assert.Contains("mqtt: 1 waiting, 0 set aside", output, StringComparison.Ordinal);
    }

    /// <summary>Put back after a year, the channel would be told of jobs that nobody has told it the end of.</summary>
    [Fact]
    public async Task What_waits_for_a_channel_that_was_taken_out_of_the_settings_is_let_go_at_the_next_start()
    {
        string settings = Settings("{}");
        using (PlantStore store = Store("pigeon"))
        {
            store.Save(Step([]) with { AlarmChanges = [new AlarmChange("A", AlarmKind.BelowLowerLimit, Instant, AlarmEvent.ConditionOn, Priority.High, "below its lower limit")] });
            Assert.Equal(1, store.TellAlarms(Instant, _ => "Hall 2"));
        }

        (_, string output, _) = await ProgramRun.ToEndAsync("queue", "status", "--settings", settings);
        Assert.Contains("pigeon: 1 waiting, 0 set aside (no longer in the settings)", output, StringComparison.Ordinal);
        using (ProgramRun service = ProgramRun.Start("run", "--settings", settings))
        {
            _ = await service.SaysAsync("Channel 'pigeon' is no longer in the settings: 1 notices that waited for it are let go of");
            Assert.Equal(0, await service.TerminateAsync());
        }

        (_, output, _) = await ProgramRun.ToEndAsync("queue", "status", "--settings", settings);
        Assert.DoesNotContain("pigeon", output, StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_service_takes_answers_and_the_command_shows_them()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        string settings = Settings($$"""{ "mqtt": { "host": "127.0.0.1", "port": {{broker.Port}} }, "answers": { "mqtt": true, "trustBrokerIdentity": true } }""");
        Store().Dispose();
        using (ProgramRun service = ProgramRun.Start("run", "--settings", settings))
        {
            await broker.SaysAsync("Received SUBSCRIBE from driftwatch-jobs-answers");
            await broker.PublishAsync(
                "driftwatch/answers/crew",
                """{ "schemaVersion": "1.0", "id": "1", "jobKey": "A/job", "answer": "done", "who": "M. Fitter", "at": "2025-03-04T09:30:00Z", "values": { "work": "charged", "gasPressureBarGauge": 90.2, "gasTemperatureCelsius": 21.5 } }""");
            await broker.SaysAsync("Received PUBACK from driftwatch-jobs-answers");
            Assert.Equal(0, await service.TerminateAsync());
        }

        (_, string output, _) = await ProgramRun.ToEndAsync("queue", "answers", "--settings", settings);
        Assert.Contains("2025-03-04T09:30:00Z  A/job: done by M. Fitter, charged: 90.2 bar gauge at 21.5 °C (by mqtt, broker user crew)", output, StringComparison.Ordinal);
    }

    private string Settings(string queue)
    {
        string register = JsonValue.Create(Path.Combine(Repository.SampleStreams, "register.json")).ToJsonString();
        string file = _folder.File("driftwatch.json");
        File.WriteAllText(file, $$"""{ "register": {{register}}, "broker": { "port": {{FreePort.Find()}} }, "queue": {{queue}}, "web": null }""");
        return file;
    }

    /// <summary>A store with one job whose notice waits for the file queue.</summary>
    private PlantStore Store(params string[] alarmChannels)
    {
        PlantStore store = new(new StoreOptions { Path = _folder.File("data", "driftwatch.db"), Channels = ["files"], AlarmChannels = alarmChannels });
        Job job = new()
        {
            Key = "A/job",
            VesselId = "A",
            VesselDescription = "Pump accumulator",
            VesselPlace = "Hall 2",
            Cause = JobCause.BelowLowerLimit,
            Reason = "below its lower limit",
            Raised = Instant,
            Due = Instant,
            DueReason = "below the limit already",
            Evidence = [],
            Steps = [],
            ChargingTargets = [],
            NitrogenKg = null,
            NitrogenStandardLitres = null,
            Cautions = SafetyLines.All,
        };
        store.Save(Step([new JobNotice(job, JobState.Open, Instant, "")]));
        return store;
    }

    private static VesselStep Step(IReadOnlyList<JobNotice> notices) => new()
    {
        VesselId = "A",
        InboxSequence = 0,
        Windows = [],
        Assessment = new Assessment { AsOf = Instant, Verdict = Verdict.BelowLowerLimit, Reason = "below its lower limit" },
        Notices = notices,
        Checkpoint = new VesselCheckpoint(Instant, default),
    };
}
