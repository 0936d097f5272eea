using System.Collections.Concurrent;
using System.Net;
using System.Text;
using DriftWatch.TestPeers;

namespace DriftWatch.Durability.Tests;

/// <summary>Takes OTLP over HTTP and keeps the bodies: no collector is packaged here.</summary>
internal sealed class OtlpSink : IAsyncDisposable
{
    private readonly HttpListener _listener = new();
    private readonly ConcurrentQueue<(string Path, string Body)> _got = [];
    private readonly Task _taking;

    public OtlpSink()
    {
        Url = FormattableString.Invariant($"http://127.0.0.1:{FreePort.Find()}");
        _listener.Prefixes.Add(Url + "/");
        _listener.Start();
        _taking = Task.Run(TakeAsync);
    }

    public string Url { get; }

    /// <summary>All that came for a path; names in the protobuf messages stand in it as plain text.</summary>
    public string Got(string path) => string.Concat(_got.Where(got => got.Path == path).Select(got => got.Body));

    public async ValueTask DisposeAsync()
    {
        _listener.Stop();
        await _taking;
        _listener.Close();
    }

    private async Task TakeAsync()
    {
        while (true)
        {
            HttpListenerContext context;
            try
            {
                context = await _listener.GetContextAsync();
            }
            catch (Exception exception) when (exception is HttpListenerException or ObjectDisposedException)
            {
                return;
            }

            using MemoryStream body = new();
            await context.Request.InputStream.CopyToAsync(body);
            _got.Enqueue((context.Request.Url!.AbsolutePath, Encoding.Latin1.GetString(body.ToArray())));
            context.Response.ContentType = "application/x-protobuf";
            context.Response.Close();
        }
    }
}
