using DriftWatch.Acquisition.Mqtt;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Acquiring;

/// <summary>Runs the embedded broker.</summary>
internal sealed class BrokerWorker(EmbeddedBroker broker, ILogger<BrokerWorker> log) : IHostedService
{
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        await broker.StartAsync();
        HostLog.BrokerListens(log, broker.Address, broker.Port);
    }

    public async Task StopAsync(CancellationToken cancellationToken) => await broker.DisposeAsync();
}
