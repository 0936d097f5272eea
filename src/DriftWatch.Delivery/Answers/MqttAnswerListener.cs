using System.Buffers;
using System.Text;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Delivery.Security;
using Microsoft.Extensions.Logging;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Delivery.Answers;

/// <summary>
/// Takes answers from <c>prefix/answers/SENDER</c> at QoS 1 in a durable session; a message is acknowledged when it is
/// durable here. Signatures come as MQTT 5 user properties. The last level of the topic names the sender: where the
/// broker lets each user write its own level only, that is the broker's word.
/// </summary>
public sealed class MqttAnswerListener
{
    private static readonly TimeSpan SessionExpiry = TimeSpan.FromDays(30);

    private readonly MqttJobOptions _broker;
    private readonly AnswerListening _listening;

    /// <summary>A listener at a broker.</summary>
    /// <param name="broker">How the broker is reached; its topics and its client identifier with <c>-answers</c> behind it.</param>
    /// <param name="desk">Where answers go.</param>
    /// <param name="clock">Clock for delays.</param>
    /// <param name="random">Random source of the delays, used by this listener alone.</param>
    /// <param name="log">Where interruptions are told.</param>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public MqttAnswerListener(MqttJobOptions broker, AnswerDesk desk, TimeProvider clock, Random random, ILogger<MqttAnswerListener> log)
    {
        FaultList.Refuse(broker.Faults(), nameof(broker));
        _broker = broker;
        _listening = new AnswerListening(broker.Name, desk, clock, random, log);
    }

    /// <summary>Listens until cancelled; ends without an error.</summary>
    public Task RunAsync(CancellationToken cancellationToken) => _listening.RunAsync(ListenAsync, cancellationToken);

    private async Task ListenAsync(Action<string> listens, CancellationToken cancellationToken)
    {
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        TaskCompletionSource gone = new(TaskCreationOptions.RunContinuationsAsynchronously);
        client.DisconnectedAsync += _ =>
        {
            gone.TrySetResult();
            return Task.CompletedTask;
        };
        client.ApplicationMessageReceivedAsync += async received =>
        {
            received.AutoAcknowledge = false;
            MqttApplicationMessage message = received.ApplicationMessage;
            string sender = message.Topic[(message.Topic.LastIndexOf('/') + 1)..];
            if (await _listening.TakeAsync(message.Payload.ToArray(), name => Property(message, name), sender, cancellationToken).ConfigureAwait(false))
            {
                await received.AcknowledgeAsync(cancellationToken).ConfigureAwait(false);
            }
        };
        MqttClientOptionsBuilder builder = MqttConnection.Builder(_broker).WithClientId(_broker.ClientId + "-answers").WithCleanStart(false);
        if (_broker.Version == "5")
        {
            builder = builder.WithSessionExpiryInterval((uint)SessionExpiry.TotalSeconds);
        }

        await MqttConnection.ConnectAsync(client, _broker, builder.Build(), cancellationToken).ConfigureAwait(false);
        MqttClientSubscribeResult subscribed = await client.SubscribeAsync(
            $"{_broker.TopicPrefix}/answers/+", MqttQualityOfServiceLevel.AtLeastOnce, cancellationToken).ConfigureAwait(false);
        if (subscribed.Items.FirstOrDefault() is not { ResultCode: MqttClientSubscribeResultCode.GrantedQoS1 } item)
        {
            throw new IOException($"The broker did not grant QoS 1 on '{_broker.TopicPrefix}/answers/+'. Give user '{_broker.UserName}' the right to read there.");
        }

        listens(item.TopicFilter.Topic);
        try
        {
            await gone.Task.WaitAsync(cancellationToken).ConfigureAwait(false);
        }
        finally
        {
            _ = await client.TryDisconnectAsync().ConfigureAwait(false);
        }
    }

    private static string? Property(MqttApplicationMessage message, string name) =>
        message.UserProperties?.FirstOrDefault(property => property.Name == name) is { } property ? Encoding.UTF8.GetString(property.ValueBuffer.Span) : null;
}
