using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Web.Fleet;

/// <summary>Keeps the fleet in memory up to date, so that no request waits for it.</summary>
internal sealed class FleetRefresh(FleetBoard board, ILoggerFactory log) : BackgroundService
{
    private static readonly TimeSpan Every = TimeSpan.FromSeconds(2);

    private readonly ILogger<FleetRefresh> _log = log.CreateLogger<FleetRefresh>();

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Every);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            try
            {
                board.Refresh();
            }
            catch (StoreUnavailableException exception)
            {
                HostLog.PagesStale(_log, exception, exception.Message);
            }
        }
    }
}
