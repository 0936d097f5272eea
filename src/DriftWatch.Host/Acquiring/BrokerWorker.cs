using System.Net.Sockets;
using DriftWatch.Acquisition.Mqtt;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Acquiring;

/// <summary>Runs the embedded broker; when its commits end by a fault, so does the service.</summary>
internal sealed class BrokerWorker(EmbeddedBroker broker, ILogger<BrokerWorker> log) : BackgroundService
{
    public override async Task StartAsync(CancellationToken cancellationToken)
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
        await base.StartAsync(cancellationToken);
    }

    public override async Task StopAsync(CancellationToken cancellationToken)
    {
        await base.StopAsync(cancellationToken);
        await broker.DisposeAsync();
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        // A fault that is there already must not look like one of the start.
        await Task.Yield();
        await broker.Committing.WaitAsync(stoppingToken);
    }
}
