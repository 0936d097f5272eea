using System.Text;
using DriftWatch.Delivery.Amqp;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.TestPeers;
using RabbitMQ.Client;

namespace DriftWatch.Delivery.Tests.Amqp;

/// <summary>Both versions of AMQP against a real rabbitmq-server.</summary>
public sealed class AmqpJobChannelTests(RabbitFixture rabbit) : IClassFixture<RabbitFixture>
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task A_notice_is_in_the_queue_when_it_counts_as_delivered()
    {
        await using IConnection connection = await rabbit.ConnectAsync();
        await using IChannel far = await connection.CreateChannelAsync(cancellationToken: Ended);
        string queue = await RabbitFixture.MakeQueueAsync(far);
        await using AmqpJobChannel channel = new(new AmqpOptions { Host = "127.0.0.1", Port = rabbit.Broker.Port, RoutingKey = queue });
        await channel.DeliverAsync(Given.Opened(), Ended);
        await channel.DeliverAsync(Given.Closed(), Ended);

        BasicGetResult opened = await RabbitFixture.GetAsync(far, queue);
        Assert.Equal(JobDocument.From(Given.Opened()).ToUtf8Json(), opened.Body.ToArray());
        Assert.Equal(Given.Opened().Key, opened.BasicProperties.MessageId);
        Assert.Equal("driftwatch.job.opened", opened.BasicProperties.Type);
        Assert.Equal("application/json", opened.BasicProperties.ContentType);
        Assert.True(opened.BasicProperties.Persistent);
        Assert.Equal(Given.Instant.ToUnixTimeSeconds(), opened.BasicProperties.Timestamp.UnixTime);
        Assert.Equal(Given.Closed().Key, (await RabbitFixture.GetAsync(far, queue)).BasicProperties.MessageId);
    }

    [Fact]
    public async Task A_notice_that_no_queue_takes_is_not_delivered()
    {
        await using AmqpJobChannel channel = new(new AmqpOptions { Host = "127.0.0.1", Port = rabbit.Broker.Port, RoutingKey = "nobody-listens" });
        IOException refused = await Assert.ThrowsAsync<IOException>(() => channel.DeliverAsync(Given.Opened(), Ended));
        Assert.Contains("nobody-listens", refused.Message, StringComparison.Ordinal);

        await using IConnection connection = await rabbit.ConnectAsync();
        await using IChannel far = await connection.CreateChannelAsync(cancellationToken: Ended);
        _ = await far.QueueDeclareAsync("nobody-listens", durable: true, exclusive: false, autoDelete: false, cancellationToken: Ended);
        await channel.DeliverAsync(Given.Opened(), Ended);
        Assert.Equal(Given.Opened().Key, (await RabbitFixture.GetAsync(far, "nobody-listens")).BasicProperties.MessageId);
    }

    [Fact]
    public async Task An_exchange_routes_by_key()
    {
        await using IConnection connection = await rabbit.ConnectAsync();
        await using IChannel far = await connection.CreateChannelAsync(cancellationToken: Ended);
        string queue = await RabbitFixture.MakeQueueAsync(far);
        await far.QueueBindAsync(queue, "amq.topic", "works.*", cancellationToken: Ended);
        await using AmqpJobChannel channel = new(new AmqpOptions { Host = "127.0.0.1", Port = rabbit.Broker.Port, Exchange = "amq.topic", RoutingKey = "works.north" });
        await channel.DeliverAsync(Given.Opened(), Ended);
        Assert.Equal("works.north", (await RabbitFixture.GetAsync(far, queue)).RoutingKey);
    }

    [Fact]
    public async Task Amqp_1_0_takes_a_notice_as_a_cloud_event()
    {
        await using IConnection connection = await rabbit.ConnectAsync();
        await using IChannel far = await connection.CreateChannelAsync(cancellationToken: Ended);
        string queue = await RabbitFixture.MakeQueueAsync(far);
        await using Amqp10JobChannel channel = new(new Amqp10Options { Host = "127.0.0.1", Port = rabbit.Broker.Port, UserName = "guest", Password = GuestPassword(), Address = $"/amq/queue/{queue}" });
        await channel.DeliverAsync(Given.Opened(), Ended);
        await channel.DeliverAsync(Given.Closed(), Ended);

        BasicGetResult opened = await RabbitFixture.GetAsync(far, queue);
        // The broker hands a data section over as the body of 0-9-1.
        Assert.Equal(JobDocument.From(Given.Opened()).ToUtf8Json(), opened.Body.ToArray());
        Assert.Equal(Given.Opened().Key, opened.BasicProperties.MessageId);
        Assert.Equal("application/json", opened.BasicProperties.ContentType);
        Assert.Equal("1.0", Header(opened, "cloudEvents:specversion"));
        Assert.Equal("driftwatch.job.opened", Header(opened, "cloudEvents:type"));
        Assert.Equal("/driftwatch/vessels/P3-ACC-2", Header(opened, "cloudEvents:source"));
        Assert.Equal(Given.Closed().Key, (await RabbitFixture.GetAsync(far, queue)).BasicProperties.MessageId);
    }

    [Fact]
    public async Task Amqp_1_0_fails_where_there_is_no_queue()
    {
        await using Amqp10JobChannel channel = new(new Amqp10Options { Host = "127.0.0.1", Port = rabbit.Broker.Port, UserName = "guest", Password = GuestPassword(), Address = "/amq/queue/not-there" });
        IOException failed = await Assert.ThrowsAsync<IOException>(() => channel.DeliverAsync(Given.Opened(), Ended));
        Assert.Contains("not-there", failed.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_broker_that_comes_back_is_used_again_by_both_versions_over_tls()
    {
        using TestCertificates certificates = new();
        await using RabbitBroker broker = await RabbitBroker.StartAsync(certificates);
        TlsSettings tls = new() { AuthorityFile = certificates.AuthorityFile, ServerName = "localhost" };
        AmqpOptions options = new() { Host = "127.0.0.1", Port = broker.Port, RoutingKey = "jobs", Tls = tls };
        await using AmqpJobChannel old = new(options);
        await using Amqp10JobChannel young = new(new Amqp10Options { Host = "localhost", Port = broker.Port, UserName = "guest", Password = GuestPassword(), Address = "/queue/jobs", Tls = tls });
        await young.DeliverAsync(Given.Opened(), Ended); // '/queue/jobs' makes the queue.
        await old.DeliverAsync(Given.Opened(), Ended);
        await broker.StopAsync();
        _ = await Assert.ThrowsAnyAsync<Exception>(() => young.DeliverAsync(Given.Closed(), Ended));
        _ = await Assert.ThrowsAnyAsync<Exception>(() => old.DeliverAsync(Given.Closed(), Ended));
        await broker.StartAgainAsync();
        await young.DeliverAsync(Given.Closed(), Ended);
        await old.DeliverAsync(Given.Closed(), Ended);

        await using AmqpJobChannel wary = new(options with { Tls = new TlsSettings() });
        _ = await Assert.ThrowsAnyAsync<Exception>(() => wary.DeliverAsync(Given.Closed(), Ended));
    }

    [Fact]
    public void All_faults_of_the_settings_are_told_at_once_by_their_fields()
    {
        AmqpOptions old = new() { Name = "", Host = "", Port = 0, VirtualHost = "", Password = new SecretSource(), RoutingKey = "", Timeout = TimeSpan.Zero };
        Assert.Equal(["a.name", "a.host", "a.port", "a.virtualHost", "a.userName", "a.password", "a.routingKey", "a.timeout"], old.Faults("a").Select(fault => fault.Split(' ')[0]));
        Amqp10Options young = new() { Name = "", Host = "", Port = 0, Address = "", Timeout = TimeSpan.Zero };
        Assert.Equal(["a.name", "a.host", "a.port", "a.address", "a.timeout"], young.Faults("a").Select(fault => fault.Split(' ')[0]));
    }

    private static SecretSource GuestPassword()
    {
        Environment.SetEnvironmentVariable("DRIFTWATCH_TEST_GUEST", "guest");
        return new SecretSource { EnvironmentVariable = "DRIFTWATCH_TEST_GUEST" };
    }

    private static string? Header(BasicGetResult message, string name) =>
        message.BasicProperties.Headers?[name] is byte[] bytes ? Encoding.UTF8.GetString(bytes) : message.BasicProperties.Headers?[name]?.ToString();
}
