using DriftWatch.Gas.Units;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Health;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Web.Tests;

/// <summary>The pages on a port of their own.</summary>
internal sealed class ServedDesk : IAsyncDisposable
{
    private readonly DeskWorker _worker;

    private ServedDesk(DeskWorker worker) => _worker = worker;

    public string Address => _worker.Address;

    public HttpClient Client { get; private set; } = null!;

    public static async Task<ServedDesk> StartAsync(VesselRegister register, PlantStore store, PlantClock clock, IReadingHistory? history = null, ServiceHealth? health = null)
    {
        Desk shown = new(register, store, clock, PressureUnit.Bar)
        {
            History = history ?? store,
            Health = health ?? new ServiceHealth(TimeProvider.System, NullLogger<ServiceHealth>.Instance),
        };
        var desk = new ServedDesk(new DeskWorker(shown, new WebSettings { Port = 0 }, NullLoggerFactory.Instance));
        await desk._worker.StartAsync(CancellationToken.None);
        desk.Client = new HttpClient(new HttpClientHandler { AllowAutoRedirect = false, UseCookies = false }) { BaseAddress = new Uri(desk.Address) };
        return desk;
    }

    public async ValueTask DisposeAsync()
    {
        Client.Dispose();
        await _worker.StopAsync(CancellationToken.None);
        await _worker.DisposeAsync();
    }
}
