using System.Security.Cryptography.X509Certificates;
using System.Threading.Channels;
using DriftWatch.TestPeers;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Hosting;
using Microsoft.AspNetCore.Hosting.Server;
using Microsoft.AspNetCore.Hosting.Server.Features;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;

namespace DriftWatch.Delivery.Tests.Webhook;

/// <summary>A real Kestrel on 127.0.0.1 that keeps the requests it gets and answers as the test says.</summary>
internal sealed class WebhookReceiver : IAsyncDisposable
{
    private readonly WebApplication _server;
    private readonly Channel<ReceivedRequest> _received = Channel.CreateUnbounded<ReceivedRequest>();

    private WebhookReceiver(WebApplication server) => _server = server;

    /// <summary>Status to answer with, and headers.</summary>
    public Func<ReceivedRequest, (int Status, string? Location)> Answer { get; set; } = _ => (204, null);

    public string Url { get; private set; } = "";

    public static async Task<WebhookReceiver> StartAsync(TestCertificates? certificates = null)
    {
        WebApplicationBuilder builder = WebApplication.CreateEmptyBuilder(new WebApplicationOptions());
        builder.WebHost.UseKestrelCore().ConfigureKestrel(kestrel => kestrel.Listen(System.Net.IPAddress.Loopback, 0, listener =>
        {
            if (certificates is not null)
            {
                _ = listener.UseHttps(X509Certificate2.CreateFromPemFile(certificates.CertificateFile, certificates.KeyFile));
            }
        }));
        if (certificates is not null)
        {
            _ = builder.WebHost.UseKestrelHttpsConfiguration();
        }

        WebhookReceiver receiver = new(builder.Build());
        receiver._server.Run(receiver.TakeAsync);
        await receiver._server.StartAsync();
        receiver.Url = receiver._server.Services.GetRequiredService<IServer>().Features.Get<IServerAddressesFeature>()!.Addresses.Single() + "/jobs";
        return receiver;
    }

    public async Task<ReceivedRequest> NextAsync() => await _received.Reader.ReadAsync().AsTask().WaitAsync(MosquittoBroker.Patience);

    public async ValueTask DisposeAsync() => await _server.DisposeAsync();

    private async Task TakeAsync(HttpContext context)
    {
        using MemoryStream body = new();
        await context.Request.Body.CopyToAsync(body);
        ReceivedRequest request = new(
            context.Request.Method + " " + context.Request.Path,
            context.Request.Headers.ToDictionary(header => header.Key, header => header.Value.ToString(), StringComparer.OrdinalIgnoreCase),
            body.ToArray());
        (int status, string? location) = Answer(request);
        context.Response.StatusCode = status;
        if (location is not null)
        {
            context.Response.Headers.Location = location;
        }

        await _received.Writer.WriteAsync(request);
    }
}
