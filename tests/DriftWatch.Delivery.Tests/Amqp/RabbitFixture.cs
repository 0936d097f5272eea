using DriftWatch.TestPeers;
using RabbitMQ.Client;

namespace DriftWatch.Delivery.Tests.Amqp;

/// <summary>One real broker for the tests of a class.</summary>
public sealed class RabbitFixture : IAsyncLifetime
{
    public RabbitBroker Broker { get; private set; } = null!;

    public async ValueTask InitializeAsync() => Broker = await RabbitBroker.StartAsync();

    public ValueTask DisposeAsync() => Broker.DisposeAsync();

    /// <summary>A connection as another program of the plant would have one.</summary>
    public Task<IConnection> ConnectAsync() =>
        new ConnectionFactory { HostName = "127.0.0.1", Port = Broker.Port }.CreateConnectionAsync(TestContext.Current.CancellationToken);

    /// <summary>Makes a durable queue with a name of its own.</summary>
    public static async Task<string> MakeQueueAsync(IChannel channel)
    {
        string queue = $"jobs-{Guid.NewGuid():N}";
        _ = await channel.QueueDeclareAsync(queue, durable: true, exclusive: false, autoDelete: false, cancellationToken: TestContext.Current.CancellationToken);
        return queue;
    }

    /// <summary>The next message of a queue, which a confirmation has told to be there.</summary>
    public static async Task<BasicGetResult> GetAsync(IChannel channel, string queue) =>
        await channel.BasicGetAsync(queue, autoAck: true, TestContext.Current.CancellationToken) ?? throw new InvalidOperationException("The queue is empty.");
}
