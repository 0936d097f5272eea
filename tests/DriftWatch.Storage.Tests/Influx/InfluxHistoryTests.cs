using System.Text.Json;
using DriftWatch.Storage.Influx;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Storage.Tests.Influx;

/// <summary>
/// Reading by Flux: the request that is sent, and the answer that is read. The answer is annotated CSV as InfluxDB 2
/// documents it (InfluxDB v2 documentation, 'Annotated CSV'), written by hand.
/// </summary>
public sealed class InfluxHistoryTests
{
    private const string Answer =
        "#datatype,string,long,dateTime:RFC3339,double,string\r\n#group,false,false,false,false,false\r\n#default,_result,,,,\r\n,result,table,_time,_value,signal\r\n"
        + ",,0,2025-03-01T06:00:00.0000001Z,9100000.333333334,GasPressure\r\n,,0,2025-03-01T06:01:00Z,290.5,GasTemperature\r\n,,0,2025-03-01T06:01:00Z,9100001,GasPressure\r\n\r\n";

    private static readonly DateTimeOffset From = new(2025, 3, 1, 8, 0, 0, TimeSpan.FromHours(2));

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Asks_by_Flux_and_reads_the_answer()
    {
        await using HttpAnswers server = new(_ => (200, "text/csv", Answer));
        using InfluxHistory history = new(InfluxPlant.Options(server.Url));
        ReadingExcerpt excerpt = await history.FirstAsync("V-1", From, From.AddHours(1), 50, Ended);
        Assert.Equal(
            new Reading[]
            {
                new(Signal.GasPressure, From.AddTicks(1).ToUniversalTime(), 9100000.333333334),
                new(Signal.GasPressure, From.AddMinutes(1).ToUniversalTime(), 9100001),
                new(Signal.GasTemperature, From.AddMinutes(1).ToUniversalTime(), 290.5),
            }.Order(),
            excerpt.Readings);
        Assert.Null(excerpt.Note);
        HttpAnswers.Request request = Assert.Single(server.Requests);
        Assert.Equal(("/api/v2/query?org=works", "Token secret"), (request.PathAndQuery, request.Authorization));
        Assert.Equal(
            """
            from(bucket: "drift")
              |> range(start: 2025-03-01T06:00:00.0000000Z, stop: 2025-03-01T07:00:00.0000001Z)
              |> filter(fn: (r) => r._measurement == "reading" and r._field == "value")
              |> filter(fn: (r) => r.vessel == "V-1")
              |> keep(columns: ["_time", "_value", "signal"])
              |> group()
              |> sort(columns: ["_time", "signal"])
              |> limit(n: 50)
            """,
            Flux(request));
    }

    [Fact]
    public async Task An_open_span_is_asked_for_within_what_Flux_can_write_and_a_name_with_a_quote_stays_a_name()
    {
        await using HttpAnswers server = new(_ => (200, "text/csv", "\r\n"));
        using InfluxHistory history = new(InfluxPlant.Options(server.Url));
        Assert.Empty((await history.FirstAsync("V\"1\\${x}", DateTimeOffset.MinValue, DateTimeOffset.MaxValue, 1, Ended)).Readings);
        string flux = Flux(Assert.Single(server.Requests));
        Assert.Contains("""r.vessel == "V\"1\\\${x}")""", flux, StringComparison.Ordinal);
        Assert.Contains("range(start: 1970-01-01T00:00:00.0000000Z, stop: 2200-01-01T00:00:00.0000001Z)", flux, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_refusal_is_told()
    {
        await using HttpAnswers server = new(_ => (401, "application/json", """{"code":"unauthorized","message":"unauthorized access"}"""));
        using InfluxHistory history = new(InfluxPlant.Options(server.Url));
        Exception refused = await Assert.ThrowsAnyAsync<Exception>(() => history.FirstAsync("V-1", From, From.AddHours(1), 50, Ended));
        Assert.Contains("unauthorized access", refused.Message, StringComparison.Ordinal);
    }

    private static string Flux(HttpAnswers.Request request)
    {
        using JsonDocument body = JsonDocument.Parse(request.Body);
        return body.RootElement.GetProperty("query").GetString()!.ReplaceLineEndings("\n");
    }
}
