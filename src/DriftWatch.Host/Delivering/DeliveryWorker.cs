using DriftWatch.Delivery.Alarms;
using DriftWatch.Delivery.Dispatch;
using Microsoft.Extensions.Hosting;

namespace DriftWatch.Host.Delivering;

/// <summary>Runs the delivery of jobs and alarms.</summary>
internal sealed class DeliveryWorker(OutboxDispatcher dispatcher, AlarmDispatcher alarms) : BackgroundService
{
    protected override Task ExecuteAsync(CancellationToken stoppingToken) =>
        Task.WhenAll(dispatcher.RunAsync(stoppingToken), alarms.RunAsync(stoppingToken));
}
