using System.Net.Sockets;
using DriftWatch.Acquisition.Mqtt;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Acquiring;

/// <summary>Runs the embedded broker.</summary>
internal sealed class BrokerWorker(EmbeddedBroker broker, ILogger<BrokerWorker> log) : IHostedService
{
    public async Task StartAsync(CancellationToken cancellationToken)
    {
        try
        {
            await broker.StartAsync();
        }
        catch (InvalidOperationException exception) when (exception.InnerException is SocketException)
        {
            throw new CannotListenException(exception.Message, exception);
        }

        HostLog.BrokerListens(log, broker.Address, broker.Port);
    }

    public async Task StopAsync(CancellationToken cancellationToken) => await broker.DisposeAsync();
}
