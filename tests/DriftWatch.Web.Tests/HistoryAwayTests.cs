using System.Net;
using System.Text.Json;
using DriftWatch.Storage.Influx;
using DriftWatch.TestPeers;

namespace DriftWatch.Web.Tests;

/// <summary>An InfluxDB is configured and nobody listens there: readers get what the store holds, and are told.</summary>
public sealed class HistoryAwayTests(DeskFixture fixture)
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Readings_come_from_the_store_with_a_note()
    {
        using InfluxHistory influx = new(new InfluxOptions
        {
            Url = FormattableString.Invariant($"http://127.0.0.1:{FreePort.Find()}"),
            Organisation = "works",
            Bucket = "driftwatch",
        });
        await using ServedDesk desk = await ServedDesk.StartAsync(
            fixture.Plant.Register, fixture.Plant.Store, fixture.Plant.Clock, history: new InfluxBesideStore(fixture.Plant.Store, influx, TimeProvider.System));

        string page = WebUtility.HtmlDecode(await desk.Client.GetStringAsync("/vessels/PR1-A1/windows/" + fixture.WindowOfPress, Ended));
        Assert.Contains("InfluxDB does not answer (", page, StringComparison.Ordinal);
        Assert.Contains("<polyline", page, StringComparison.Ordinal);

        using JsonDocument answer = JsonDocument.Parse(await desk.Client.GetStringAsync("/api/v1/vessels/PR1-A1/readings?limit=10", Ended));
        Assert.Contains("InfluxDB does not answer (", answer.RootElement.GetProperty("note").GetString(), StringComparison.Ordinal);
        Assert.Equal(
            fixture.Plant.Store.Readings("PR1-A1", DateTimeOffset.MinValue, DateTimeOffset.MaxValue, 9)[0].Value,
            answer.RootElement.GetProperty("items")[0].GetProperty("value").GetDouble());

        using JsonDocument without = JsonDocument.Parse(await fixture.Desk.Client.GetStringAsync("/api/v1/vessels/PR1-A1/readings?limit=10", Ended));
        Assert.Equal(JsonValueKind.Null, without.RootElement.GetProperty("note").ValueKind);
    }
}
