using System.Buffers;
using System.Threading.Channels;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Jobs;
using DriftWatch.TestPeers;
using MQTTnet;
using MQTTnet.Formatter;
using MQTTnet.Protocol;

namespace DriftWatch.Delivery.Tests.Mqtt;

/// <summary>Against a real mosquitto.</summary>
public sealed class MqttJobChannelTests
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("5")]
    [InlineData("3.1.1")]
    public async Task A_late_subscriber_finds_the_newest_notice_of_each_job(string version)
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        await using MqttJobChannel channel = new(new MqttJobOptions { Host = "127.0.0.1", Port = broker.Port, Version = version, TopicPrefix = "works/north" });
        Job other = Given.Job("P3/ACC+1#") with { Cause = JobCause.NoWindowTooLong };
        await channel.DeliverAsync(Given.Opened(), Ended);
        await channel.DeliverAsync(Given.Opened(other), Ended);
        await channel.DeliverAsync(Given.Closed(), Ended);

        Dictionary<string, MqttApplicationMessage> retained = await ReadRetained(broker, "works/north/jobs/+/+", 2);
        Assert.Equal(["works/north/jobs/P3-ACC-2/belowLowerLimit", "works/north/jobs/P3_ACC_1_/noWindowTooLong"], retained.Keys.Order(StringComparer.Ordinal));
        MqttApplicationMessage closed = retained["works/north/jobs/P3-ACC-2/belowLowerLimit"];
        Assert.Equal(JobDocument.From(Given.Closed()).ToUtf8Json(), closed.Payload.ToArray());
        Assert.Equal(MqttQualityOfServiceLevel.AtLeastOnce, closed.QualityOfServiceLevel);
        Assert.Equal(version == "5" ? "application/json" : null, closed.ContentType);

        // What is closed is forgotten after its time; what is open stays. The broker counts the seconds down.
        Assert.InRange(closed.MessageExpiryInterval, version == "5" ? 29u * 86400 : 0, version == "5" ? 30u * 86400 : 0);
        Assert.Equal(0u, retained["works/north/jobs/P3_ACC_1_/noWindowTooLong"].MessageExpiryInterval);
    }

    [Fact]
    public async Task A_delivery_fails_while_the_broker_is_away_and_works_again_afterwards()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        await broker.StopAsync();
        await using MqttJobChannel channel = new(new MqttJobOptions { Host = "127.0.0.1", Port = broker.Port });
        _ = await Assert.ThrowsAnyAsync<Exception>(() => channel.DeliverAsync(Given.Opened(), Ended));
        for (int outage = 0; outage < 2; outage++)
        {
            await broker.StartAgainAsync();
            await DeliverWhenConnectionLossIsNoticed(channel);
            _ = Assert.Single(await ReadRetained(broker, "driftwatch/jobs/+/+", 1));
            await broker.StopAsync();
            _ = await Assert.ThrowsAnyAsync<Exception>(() => channel.DeliverAsync(Given.Opened(), Ended));
        }
    }

    [Fact]
    public async Task A_broker_that_does_not_let_us_in_fails_the_delivery_without_telling_the_password()
    {
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync("allow_anonymous false");
        using TempFolder folder = new();
        MqttJobOptions options = new() { Host = "127.0.0.1", Port = broker.Port, UserName = "jobs", Password = folder.Secret("open-sesame") };
        await using MqttJobChannel channel = new(options);
        Exception refused = await Assert.ThrowsAnyAsync<Exception>(() => channel.DeliverAsync(Given.Opened(), Ended));
        Assert.Contains("NotAuthorized", refused.ToString(), StringComparison.Ordinal);
        Assert.DoesNotContain("open-sesame", refused + options.ToString(), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_topic_that_we_may_not_write_fails_the_delivery()
    {
        using TempFolder folder = new();
        string rights = Path.Combine(folder.Path, "acl");
        await File.WriteAllTextAsync(rights, "topic readwrite elsewhere/#\n", Ended);
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync($"allow_anonymous true\nacl_file {rights}");
        await using MqttJobChannel channel = new(new MqttJobOptions { Host = "127.0.0.1", Port = broker.Port });
        IOException refused = await Assert.ThrowsAsync<IOException>(() => channel.DeliverAsync(Given.Opened(), Ended));
        Assert.Contains("driftwatch/jobs/P3-ACC-2/belowLowerLimit", refused.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Over_tls_the_broker_is_reached_only_when_its_authority_is_trusted()
    {
        using TestCertificates certificates = new();
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync(
            $"allow_anonymous true\ncertfile {certificates.CertificateFile}\nkeyfile {certificates.KeyFile}");
        MqttJobOptions options = new() { Host = "127.0.0.1", Port = broker.Port, Tls = new TlsSettings { AuthorityFile = certificates.AuthorityFile } };
        await using MqttJobChannel channel = new(options);
        await channel.DeliverAsync(Given.Opened(), Ended);

        using TestCertificates others = new();
        await using MqttJobChannel wary = new(options with { Tls = new TlsSettings { AuthorityFile = others.AuthorityFile } });
        _ = await Assert.ThrowsAnyAsync<Exception>(() => wary.DeliverAsync(Given.Opened(), Ended));
        await using MqttJobChannel otherName = new(options with { Tls = options.Tls with { ServerName = "somewhere.invalid" } });
        _ = await Assert.ThrowsAnyAsync<Exception>(() => otherName.DeliverAsync(Given.Opened(), Ended));
    }

    [Fact]
    public void All_faults_of_the_settings_are_told_at_once_by_their_fields()
    {
        MqttJobOptions bad = new()
        {
            Name = "",
            Host = " ",
            Port = 0,
            Version = "3.1",
            ClientId = "",
            TopicPrefix = "a/#",
            KeepClosed = TimeSpan.Zero,
            Timeout = TimeSpan.Zero,
            UserName = "jobs",
            Password = new SecretSource { EnvironmentVariable = "DRIFTWATCH_NOT_SET" },
            Tls = new TlsSettings { AuthorityFile = "/nowhere/authority.pem" },
        };
        string[] fields = ["name", "host", "port", "password", "timeout", "tls.authorityFile", "version", "clientId", "topicPrefix", "keepClosed"];
        Assert.Equal(fields.Select(field => "queue.mqtt." + field), bad.Faults("queue.mqtt").Select(fault => fault.Split(' ', ':')[0]));
        Assert.Equal(fields.Length, Assert.Throws<ArgumentException>(() => new MqttJobChannel(bad)).Message.Split(Environment.NewLine).Length);
    }

    /// <summary>A client may learn of a lost connection only by a delivery that fails: as the dispatcher does, try again.</summary>
    private static async Task DeliverWhenConnectionLossIsNoticed(MqttJobChannel channel)
    {
        for (int tries = 0; ; tries++)
        {
            try
            {
                await channel.DeliverAsync(Given.Opened(), Ended);
                return;
            }
            catch (Exception) when (tries < 3)
            {
                // The next try connects anew.
            }
        }
    }

    private static async Task<Dictionary<string, MqttApplicationMessage>> ReadRetained(MosquittoBroker broker, string topics, int count)
    {
        MqttClientFactory factory = new();
        using IMqttClient client = factory.CreateMqttClient();
        Channel<MqttApplicationMessage> arrived = Channel.CreateUnbounded<MqttApplicationMessage>();
        client.ApplicationMessageReceivedAsync += message => arrived.Writer.WriteAsync(message.ApplicationMessage).AsTask();
        _ = await client.ConnectAsync(factory.CreateClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).WithProtocolVersion(MqttProtocolVersion.V500).Build(), Ended);
        _ = await client.SubscribeAsync(topics, MqttQualityOfServiceLevel.AtLeastOnce, Ended);
        Dictionary<string, MqttApplicationMessage> retained = [];
        while (retained.Count < count)
        {
            MqttApplicationMessage message = await arrived.Reader.ReadAsync(Ended);
            Assert.True(message.Retain, "kept by the broker for late subscribers");
            Assert.True(retained.TryAdd(message.Topic, message), "one a topic");
        }

        return retained;
    }
}
