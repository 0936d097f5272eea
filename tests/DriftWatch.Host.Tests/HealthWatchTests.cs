using DriftWatch.Acquisition.Door;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Mail;
using DriftWatch.Delivery.Security;
using DriftWatch.Host.Delivering;
using DriftWatch.Host.Health;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Tests;

/// <summary>What the service says of itself; the service is put together, not started.</summary>
public sealed class HealthWatchTests
{
    [Fact]
    public void Points_given_up_are_told_and_counted()
    {
        using TemporaryFolder folder = new();
        var settings = new ServiceSettings
        {
            Register = Path.Combine(Repository.SampleStreams, "register.json"),
            DataFolder = folder.File("data"),
            ChartFolder = folder.File("charts"),
            Broker = new BrokerSettings { Port = FreePort.Find() },
            Queue = new QueueSettings { Folder = folder.File("jobs") },
            History = new HistorySettings { Influx = new InfluxSettings { Url = "http://127.0.0.1:1", Organisation = "works", Bucket = "readings" } },
            Web = null,
        };
        using IHost host = ServiceComposition.Build(settings, SampleReadings.Register(), TimeProvider.System, new ReadingDoorOptions(), new LogThreshold(LogLevel.Warning));
        _ = host.Services.GetRequiredService<PlantStore>();
        GiveUp(folder.File("data", "driftwatch.db"), 5);
        ServiceHealth health = host.Services.GetRequiredService<ServiceHealth>();
        HealthWatch watch = host.Services.GetServices<IHostedService>().OfType<HealthWatch>().Single();
        watch.LookAtStore();
        Assert.Equal(HealthState.Good, health.State);

        GiveUp(folder.File("data", "driftwatch.db"), 7);
        watch.LookAtStore();
        PartHealth part = Assert.Single(health.Parts, one => one.State != HealthState.Good);
        Assert.Equal(ServicePart.Influx, part.Part);
        Assert.StartsWith("7 points were given up since the start", Assert.Single(part.Complaints).What, StringComparison.Ordinal);
        Assert.Contains("driftwatch_influx_given_up_total 12\n", host.Services.GetRequiredService<ServiceMetrics>().Text(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_recipient_whom_the_mail_server_does_not_know_is_named_while_the_others_get_their_mails()
    {
        using TemporaryFolder folder = new();
        using TestCertificates certificates = new();
        await using SmtpSink sink = await SmtpSink.StartAsync(certificates, "secret-1");
        await File.WriteAllTextAsync(folder.File("password"), "secret-1", TestContext.Current.CancellationToken);
        var settings = new ServiceSettings
        {
            Register = Path.Combine(Repository.SampleStreams, "register.json"),
            DataFolder = folder.File("data"),
            ChartFolder = folder.File("charts"),
            Broker = new BrokerSettings { Port = FreePort.Find() },
            Queue = new QueueSettings
            {
                Folder = folder.File("jobs"),
                Mail = new MailOptions
                {
                    Host = "127.0.0.1",
                    Port = sink.Port,
                    UserName = "jobs",
                    Password = new SecretSource { File = folder.File("password") },
                    Tls = new TlsSettings { AuthorityFile = certificates.AuthorityFile },
                    From = "driftwatch@works.invalid",
                    To = ["crew@works.invalid", "gone@works.invalid"],
                },
            },
            Web = null,
        };
        using IHost host = ServiceComposition.Build(settings, SampleReadings.Register(), TimeProvider.System, new ReadingDoorOptions(), new LogThreshold(LogLevel.Warning));
        ServiceHealth health = host.Services.GetRequiredService<ServiceHealth>();
        HealthWatch watch = host.Services.GetServices<IHostedService>().OfType<HealthWatch>().Single();
        watch.LookAtQueues();
        Assert.Equal(HealthState.Good, health.State);

        IJobChannel mail = host.Services.GetRequiredService<QueueChannels>().All.Single(channel => channel.Name == "mail");
        await mail.DeliverAsync(TestNotice.At(TimeProvider.System.GetUtcNow()), TestContext.Current.CancellationToken);
        Assert.Equal(["crew@works.invalid"], (await sink.TakeAsync()).To);
        watch.LookAtQueues();
        PartHealth part = Assert.Single(health.Parts, one => one.State != HealthState.Good);
        Assert.Equal(("queue:mail", HealthState.Degraded), (part.Part, part.State));
        Assert.Contains("gone@works.invalid: 550", Assert.Single(part.Complaints).What, StringComparison.Ordinal);
    }

    /// <summary>Counts points as given up, past the store: it gives up none before a hundred million wait.</summary>
    private static void GiveUp(string file, int points) =>
        PastTheStore.Change(file, "UPDATE mark SET value = value + $value WHERE name = 'spool given up'", points);
}
