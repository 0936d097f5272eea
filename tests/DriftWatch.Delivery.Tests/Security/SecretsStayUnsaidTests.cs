using DriftWatch.Delivery.Amqp;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Delivery.Mail;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Amqp;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Delivery.Tests.Webhook;
using DriftWatch.Delivery.Webhook;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage;
using DriftWatch.TestPeers;

namespace DriftWatch.Delivery.Tests.Security;

/// <summary>All channels fail against real servers that know other secrets; no log line, error on record or dead letter shows one.</summary>
public sealed class SecretsStayUnsaidTests(RabbitFixture rabbit) : IClassFixture<RabbitFixture>
{
    private const int Failed = 5001;

    private static readonly string[] Secrets =
        ["sesame-mqtt-7391", "sesame-amqp-7391", "sesame-amqp10-7391", "sesame-mail-7391", "sesame-token-7391", "whsec_c2VzYW1lLXdlYmhvb2stNzM5MS1zZXNhbWUtc2VzYW1l"];

    [Fact]
    public async Task No_failure_tells_a_secret()
    {
        using TempFolder folder = new();
        using TestCertificates certificates = new();
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync("allow_anonymous false");
        await using SmtpSink sink = await SmtpSink.StartAsync(certificates, "another");
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        receiver.Answer = _ => (401, null);
        SecretSource[] sources = [.. Secrets.Select(folder.Secret)];
        object[] options =
        [
            new MqttJobOptions { Host = "127.0.0.1", Port = broker.Port, UserName = "u", Password = sources[0] },
            new AmqpOptions { Host = "127.0.0.1", Port = rabbit.Broker.Port, UserName = "u", Password = sources[1], RoutingKey = "jobs" },
            new Amqp10Options { Host = "127.0.0.1", Port = rabbit.Broker.Port, UserName = "u", Password = sources[2], Address = "/queue/jobs" },
            new MailOptions { Host = "127.0.0.1", Port = sink.Port, UserName = "jobs", Password = sources[3], From = "a@works.invalid", To = ["b@works.invalid"], Tls = new TlsSettings { AuthorityFile = certificates.AuthorityFile } },
            new WebhookOptions { Url = receiver.Url, BearerToken = sources[4], SigningSecret = sources[5] },
        ];
        await using MqttJobChannel mqtt = new((MqttJobOptions)options[0]);
        await using AmqpJobChannel amqp = new((AmqpOptions)options[1]);
        await using Amqp10JobChannel amqp10 = new((Amqp10Options)options[2]);
        using WebhookChannel webhook = new((WebhookOptions)options[4], TimeProvider.System);
        IJobChannel[] channels = [mqtt, amqp, amqp10, new MailChannel((MailOptions)options[3], AlarmHandling.Usual.Flood, _ => null), webhook];
        using PlantStore store = new(new StoreOptions { Path = Path.Combine(folder.Path, "plant.db"), Channels = [.. channels.Select(channel => channel.Name)] });
        store.Save(Given.Step(Given.Opened()));
        RecordingLog<OutboxDispatcher> log = new();
        await using (RunningDispatcher running = new(new OutboxDispatcher(store, channels, new DispatchOptions { FirstRetry = TimeSpan.FromHours(1), LongestRetry = TimeSpan.FromHours(1) }, TimeProvider.System, new Random(1), log)))
        {
            for (int failure = 0; failure < channels.Length; failure++)
            {
                await log.Hears(Failed);
            }
        }

        Assert.All(channels, channel => Assert.Equal(1, Assert.Single(store.Pending(channel.Name, 10)).Tries));
        string said = log.All + string.Join('\n', options.Select(one => one.ToString()));
        Assert.All(channels, channel => Assert.Contains(channel.Name, said, StringComparison.Ordinal));
        Assert.All(Secrets, secret => Assert.DoesNotContain(secret, said, StringComparison.Ordinal));
        store.Dispose();
        byte[] held = await File.ReadAllBytesAsync(Path.Combine(folder.Path, "plant.db"), TestContext.Current.CancellationToken);
        Assert.All(Secrets, secret => Assert.True(held.AsSpan().IndexOf(System.Text.Encoding.UTF8.GetBytes(secret)) < 0));
    }
}
