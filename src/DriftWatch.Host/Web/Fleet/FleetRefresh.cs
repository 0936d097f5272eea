using DriftWatch.Host.Web.Rounds;
using DriftWatch.Storage;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Web.Fleet;

/// <summary>Keeps the fleet and its round in memory up to date, so that no request waits for it.</summary>
internal sealed class FleetRefresh(Desk desk, FleetBoard board, RoundBoard rounds, ILoggerFactory log) : BackgroundService
{
    private static readonly TimeSpan Every = TimeSpan.FromSeconds(2);

    /// <summary>Vessels whose windows are read at a time: some 0.1 s of work, and 10,000 vessels within four minutes of the start.</summary>
    private const int MostRead = 100;

    private readonly ILogger<FleetRefresh> _log = log.CreateLogger<FleetRefresh>();

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        using var timer = new PeriodicTimer(Every);
        while (await timer.WaitForNextTickAsync(stoppingToken))
        {
            try
            {
                board.Refresh();
                FleetSnapshot fleet = board.Snapshot;
                rounds.Refresh(desk.Register.Vessels, id => fleet.Find(id)?.Assessment, desk.Clock.Now, MostRead);
            }
            catch (StoreUnavailableException exception)
            {
                HostLog.PagesStale(_log, exception, exception.Message);
            }
        }
    }
}
