using DriftWatch.Acquisition.Mqtt;
using Microsoft.Extensions.Hosting;

namespace DriftWatch.Host.Acquiring;

/// <summary>Runs the subscription to an outside broker.</summary>
internal sealed class SubscriberWorker(MqttSubscriber subscriber) : BackgroundService
{
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => subscriber.RunAsync(stoppingToken);
}
