using System.Diagnostics;
using System.Globalization;
using System.Net;
using System.Text.Json;
using DriftWatch.TestPeers;

namespace DriftWatch.Durability.Tests;

/// <summary>Asks a running service how it stands, over HTTP.</summary>
internal sealed class ServiceHealthClient(int port) : IDisposable
{
    private readonly HttpClient _client = new() { BaseAddress = new Uri(string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{port}")) };

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public async Task<HttpStatusCode> ReadyAsync() => await StatusAsync("/health/ready");

    public async Task<HttpStatusCode> LiveAsync() => await StatusAsync("/health/live");

    /// <summary>Ends when a part is in a state; a part that needs a hand must say what and how.</summary>
    public async Task BecomesAsync(string part, string state, ServiceProcess service)
    {
        await service.StartedAsync();
        long start = Stopwatch.GetTimestamp();
        string last;
        while (true)
        {
            last = await _client.GetStringAsync("/health", Ended);
            using JsonDocument report = JsonDocument.Parse(last);
            JsonElement found = report.RootElement.GetProperty("parts").EnumerateArray().Single(known => known.GetProperty("part").GetString() == part);
            if (found.GetProperty("state").GetString() == state)
            {
                Assert.Equal(state == "good", found.GetProperty("complaints").GetArrayLength() == 0);
                Assert.All(found.GetProperty("complaints").EnumerateArray(), complaint =>
                {
                    Assert.NotEmpty(complaint.GetProperty("what").GetString()!);
                    Assert.NotEmpty(complaint.GetProperty("mend").GetString()!);
                });
                return;
            }

            Assert.False(service.HasExited, $"The service ended by itself:\n{service.Log}");
            Assert.True(Stopwatch.GetElapsedTime(start) < MosquittoBroker.Patience, $"{part} does not become {state}: {last}\n{service.Log}");
            await Task.Delay(100, Ended);
        }
    }

    public void Dispose() => _client.Dispose();

    private async Task<HttpStatusCode> StatusAsync(string address)
    {
        using HttpResponseMessage answer = await _client.GetAsync(address, Ended);
        return answer.StatusCode;
    }
}
