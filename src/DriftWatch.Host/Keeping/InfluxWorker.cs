using DriftWatch.Storage.Influx;
using Microsoft.Extensions.Hosting;

namespace DriftWatch.Host.Keeping;

/// <summary>Writes what is spooled to InfluxDB.</summary>
internal sealed class InfluxWorker(InfluxWriter writer) : BackgroundService
{
    protected override Task ExecuteAsync(CancellationToken stoppingToken) => Task.Run(() => writer.RunAsync(stoppingToken), CancellationToken.None);
}
