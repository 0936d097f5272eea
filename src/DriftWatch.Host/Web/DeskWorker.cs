using System.Net.Sockets;
using DriftWatch.Host.Settings;
using Microsoft.AspNetCore.Builder;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Web;

/// <summary>Serves the pages beside the rest of the service.</summary>
internal sealed class DeskWorker(Desk desk, WebSettings settings, ILoggerFactory log) : IHostedService, IAsyncDisposable
{
    private WebApplication? _application;

    /// <summary>Where the pages are, once started.</summary>
    public string Address => _application?.Urls.Single() ?? throw new InvalidOperationException("The pages are not started.");

    public async Task StartAsync(CancellationToken cancellationToken)
    {
        _application = DeskApplication.Build(desk, settings, log);
        try
        {
            // Short, and not to be cut in half when the service is asked to stop meanwhile.
            await _application.StartAsync(CancellationToken.None);
        }
        catch (Exception exception) when (exception is IOException or SocketException)
        {
            throw new CannotListenException(
                $"The pages cannot listen on {settings.Address}:{settings.Port}: {exception.Message} Choose another web.port, or \"web\": null for no pages.",
                exception);
        }

        HostLog.PagesAt(log.CreateLogger<DeskWorker>(), Address);
    }

    public Task StopAsync(CancellationToken cancellationToken) => _application?.StopAsync(cancellationToken) ?? Task.CompletedTask;

    public async ValueTask DisposeAsync()
    {
        if (_application is { } application)
        {
            _application = null;
            await application.DisposeAsync();
        }
    }
}
