using DriftWatch.Delivery.Dispatch;
using Microsoft.Extensions.Hosting;

namespace DriftWatch.Host.Delivering;

/// <summary>Runs the delivery of jobs and alarms.</summary>
internal sealed class DeliveryWorker(OutboxDispatcher dispatcher) : BackgroundService
{
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => dispatcher.RunAsync(stoppingToken);
}
