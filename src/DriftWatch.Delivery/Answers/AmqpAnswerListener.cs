using System.Text;
using DriftWatch.Delivery.Amqp;
using DriftWatch.Delivery.Security;
using Microsoft.Extensions.Logging;
using RabbitMQ.Client;
using RabbitMQ.Client.Events;

namespace DriftWatch.Delivery.Answers;

/// <summary>
/// Takes answers from a queue of an AMQP 0-9-1 broker; a message is acknowledged when it is durable here. Signatures
/// come as headers. The property <c>user-id</c> names the sender: a broker that checks it against the sender's login
/// vouches for it.
/// </summary>
public sealed class AmqpAnswerListener
{
    private const int AheadOfAcknowledgement = 16;

    private readonly AmqpOptions _broker;
    private readonly string _queue;
    private readonly AnswerListening _listening;

    /// <summary>A listener at a queue.</summary>
    /// <param name="broker">How the broker is reached.</param>
    /// <param name="queue">The queue, which must be there.</param>
    /// <param name="desk">Where answers go.</param>
    /// <param name="clock">Clock for delays.</param>
    /// <param name="random">Random source of the delays, used by this listener alone.</param>
    /// <param name="log">Where interruptions are told.</param>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public AmqpAnswerListener(AmqpOptions broker, string queue, AnswerDesk desk, TimeProvider clock, Random random, ILogger<AmqpAnswerListener> log)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(queue);
        FaultList.Refuse(broker.Faults(), nameof(broker));
        _broker = broker;
        _queue = queue;
        _listening = new AnswerListening(broker.Name, desk, clock, random, log);
    }

    /// <summary>Listens until cancelled; ends without an error.</summary>
    public Task RunAsync(CancellationToken cancellationToken) => _listening.RunAsync(ListenAsync, cancellationToken);

    private async Task ListenAsync(Action<string> listens, CancellationToken cancellationToken)
    {
        IConnection connection = await AmqpConnection.OpenAsync(_broker, "driftwatch answers", cancellationToken).ConfigureAwait(false);
        await using (connection.ConfigureAwait(false))
        {
            IChannel channel = await connection.CreateChannelAsync(cancellationToken: cancellationToken).ConfigureAwait(false);
            await using (channel.ConfigureAwait(false))
            {
                TaskCompletionSource gone = new(TaskCreationOptions.RunContinuationsAsynchronously);
                channel.ChannelShutdownAsync += (_, reason) =>
                {
                    _ = gone.TrySetException(new IOException(reason.ReplyText));
                    return Task.CompletedTask;
                };
                await channel.BasicQosAsync(0, AheadOfAcknowledgement, global: false, cancellationToken).ConfigureAwait(false);
                AsyncEventingBasicConsumer consumer = new(channel);
                consumer.ReceivedAsync += async (_, delivery) =>
                {
                    // The body is lent for the time of the event only.
                    if (await _listening.TakeAsync(delivery.Body.ToArray(), name => Header(delivery, name), delivery.BasicProperties.UserId, cancellationToken).ConfigureAwait(false))
                    {
                        await channel.BasicAckAsync(delivery.DeliveryTag, multiple: false, cancellationToken).ConfigureAwait(false);
                    }
                };
                consumer.UnregisteredAsync += (_, _) =>
                {
                    _ = gone.TrySetException(new IOException($"The broker gives no more messages of queue '{_queue}'."));
                    return Task.CompletedTask;
                };
                _ = await channel.BasicConsumeAsync(_queue, autoAck: false, consumer, cancellationToken).ConfigureAwait(false);
                listens(_queue);
                await gone.Task.WaitAsync(cancellationToken).ConfigureAwait(false);
            }
        }
    }

    private static string? Header(BasicDeliverEventArgs delivery, string name) => delivery.BasicProperties.Headers?.TryGetValue(name, out object? value) == true
        ? value switch
        {
            byte[] bytes => Encoding.UTF8.GetString(bytes),
            string text => text,
            _ => null,
        }
        : null;
}
