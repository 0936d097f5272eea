using System.Net;
using System.Text;
using DriftWatch.TestPeers;

namespace DriftWatch.Storage.Tests.Influx;

/// <summary>Answers requests over HTTP on 127.0.0.1 as a test says: for what no real server here can be made to show.</summary>
internal sealed class HttpAnswers : IAsyncDisposable
{
    private readonly HttpListener _listener = new();
    private readonly List<Request> _requests = [];
    private readonly Task _answering;

    public HttpAnswers(Func<Request, (int Status, string Type, string Body)> answer)
    {
        Url = string.Create(System.Globalization.CultureInfo.InvariantCulture, $"http://127.0.0.1:{FreePort.Find()}");
        _listener.Prefixes.Add(Url + "/");
        _listener.Start();
        _answering = Task.Run(() => AnswerAsync(answer));
    }

    public string Url { get; }

    public IReadOnlyList<Request> Requests => _requests;

    public async ValueTask DisposeAsync()
    {
        _listener.Stop();
        await _answering;
        _listener.Close();
    }

    private async Task AnswerAsync(Func<Request, (int Status, string Type, string Body)> answer)
    {
        while (true)
        {
            HttpListenerContext context;
            try
            {
                context = await _listener.GetContextAsync();
            }
            catch (Exception stopped) when (stopped is HttpListenerException or ObjectDisposedException)
            {
                return;
            }

            using StreamReader reader = new(context.Request.InputStream, Encoding.UTF8);
            Request request = new(context.Request.Url!.PathAndQuery, context.Request.Headers["Authorization"] ?? "", await reader.ReadToEndAsync());
            _requests.Add(request);
            (int status, string type, string body) = answer(request);
            context.Response.StatusCode = status;
            context.Response.ContentType = type;
            await context.Response.OutputStream.WriteAsync(Encoding.UTF8.GetBytes(body));
            context.Response.Close();
        }
    }

    internal sealed record Request(string PathAndQuery, string Authorization, string Body);
}
