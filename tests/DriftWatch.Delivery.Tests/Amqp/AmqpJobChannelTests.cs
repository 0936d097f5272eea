using Amqp;
using DriftWatch.Delivery.Amqp;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.TestPeers;
using RabbitMQ.Client;
using IConnection = RabbitMQ.Client.IConnection;

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
        string address = $"/queue/jobs-{Guid.NewGuid():N}";
        await using Amqp10JobChannel channel = new(new Amqp10Options { Host = "127.0.0.1", Port = rabbit.Broker.Port, UserName = "guest", Password = GuestPassword(), Address = address });
        await channel.DeliverAsync(Given.Opened(), Ended);
        await channel.DeliverAsync(Given.Closed(), Ended);

        Connection connection = await Connection.Factory.CreateAsync(new Address("127.0.0.1", rabbit.Broker.Port, "guest", "guest", "/", "amqp"));
        ReceiverLink receiver = new(new Session(connection), "far", address);
        using Message opened = await receiver.ReceiveAsync(MosquittoBroker.Patience);
        Assert.Equal(JobDocument.From(Given.Opened()).ToUtf8Json(), (byte[])opened.Body);
        Assert.True(opened.Header.Durable);
        Assert.Equal(Given.Opened().Key, opened.Properties.MessageId);
        Assert.Equal("application/json", opened.Properties.ContentType.ToString());
        Assert.Equal("1.0", opened.ApplicationProperties["cloudEvents_specversion"]);
        Assert.Equal(Given.Opened().Key, opened.ApplicationProperties["cloudEvents_id"]);
        Assert.Equal("driftwatch.job.opened", opened.ApplicationProperties["cloudEvents_type"]);
        Assert.Equal("/driftwatch/vessels/P3-ACC-2", opened.ApplicationProperties["cloudEvents_source"]);
        receiver.Accept(opened);
        using Message closed = await receiver.ReceiveAsync(MosquittoBroker.Patience);
        Assert.Equal(Given.Closed().Key, closed.Properties.MessageId);
        receiver.Accept(closed);
        await connection.CloseAsync();
    }

    [Fact]
    public async Task Amqp_1_0_fails_where_there_is_no_such_target()
    {
        await using Amqp10JobChannel channel = new(new Amqp10Options { Host = "127.0.0.1", Port = rabbit.Broker.Port, UserName = "guest", Password = GuestPassword(), Address = "/exchange/not-there/key" });
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
        Assert.Equal(["a.name", "a.host", "a.port", "a.userName", "a.password", "a.timeout", "a.virtualHost", "a.routingKey"], old.Faults("a").Select(fault => fault.Split(' ')[0]));
        Amqp10Options young = new() { Name = "", Host = "", Port = 0, Address = "", Timeout = TimeSpan.Zero };
        Assert.Equal(["a.name", "a.host", "a.port", "a.timeout", "a.address"], young.Faults("a").Select(fault => fault.Split(' ')[0]));
    }

    private static SecretSource GuestPassword()
    {
        Environment.SetEnvironmentVariable("DRIFTWATCH_TEST_GUEST", "guest");
        return new SecretSource { EnvironmentVariable = "DRIFTWATCH_TEST_GUEST" };
    }
}
