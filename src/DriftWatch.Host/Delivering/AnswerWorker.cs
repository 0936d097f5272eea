using DriftWatch.Delivery.Answers;
using DriftWatch.Host.Settings;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Delivering;

/// <summary>Takes the answers of the maintenance queues.</summary>
internal sealed class AnswerWorker(QueueSettings queue, AnswerDesk desk, ILoggerFactory logs) : BackgroundService
{
    protected override Task ExecuteAsync(CancellationToken stoppingToken)
    {
        List<Task> listening = [];
        if (queue is { Answers.Mqtt: true, Mqtt: { } mqtt })
        {
            listening.Add(new MqttAnswerListener(mqtt, desk, TimeProvider.System, new Random(), logs.CreateLogger<MqttAnswerListener>()).RunAsync(stoppingToken));
        }

        if (queue is { Answers.AmqpQueue: { } name, Amqp: { } amqp })
        {
            listening.Add(new AmqpAnswerListener(amqp, name, desk, TimeProvider.System, new Random(), logs.CreateLogger<AmqpAnswerListener>()).RunAsync(stoppingToken));
        }

        return Task.WhenAll(listening);
    }
}
