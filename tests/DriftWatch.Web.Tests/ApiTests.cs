using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Assessing;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Web.Tests;

/// <summary>The interface for programs, over HTTP.</summary>
public sealed class ApiTests(DeskFixture fixture)
{
    private HttpClient Client => fixture.Desk.Client;

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task Pages_of_vessels_hold_each_once_and_link_to_the_next()
    {
        List<string> seen = [];
        string? next = "/api/v1/vessels?size=5&sort=vessel";
        int pages = 0;
        while (next is not null)
        {
            using HttpResponseMessage answer = await Client.GetAsync(next, Ended);
            using JsonDocument page = JsonDocument.Parse(await answer.Content.ReadAsStringAsync(Ended));
            Assert.Equal(16, page.RootElement.GetProperty("total").GetInt32());
            seen.AddRange(page.RootElement.GetProperty("items").EnumerateArray().Select(item => item.GetProperty("id").GetString()!));
            string links = answer.Headers.TryGetValues("Link", out IEnumerable<string>? values) ? string.Join(", ", values) : "";
            Match match = Regex.Match(links, "<([^>]*)>; rel=\"next\"");
            next = match.Success ? match.Groups[1].Value : null;
            pages++;
        }

        Assert.Equal(4, pages);
        Assert.Equal(fixture.Plant.Register.Vessels.Select(vessel => vessel.Id).Order(StringComparer.Ordinal), seen);
    }

    [Fact]
    public async Task A_vessel_says_what_the_store_says_in_SI()
    {
        Assessment assessment = fixture.Plant.Store.LastAssessment("PR1-A1")!;
        double ambientPa = fixture.Plant.Register.Find("PR1-A1")!.Specification.Ambient.Pascals;
        using JsonDocument vessel = await JsonAsync("/api/v1/vessels/PR1-A1");
        JsonElement root = vessel.RootElement;
        Assert.Equal(assessment.PrechargePa!.Value, root.GetProperty("prechargeGaugePa").GetDouble() + ambientPa, 1e-6);
        Assert.Equal(-assessment.Fit!.SlopePaPerSecond, root.GetProperty("lossPaPerSecond").GetDouble(), 1e-12);
        Assert.Equal(assessment.AsOf, root.GetProperty("asOf").GetDateTimeOffset());
        Assert.Equal(assessment.Verdict.ToString(), root.GetProperty("verdict").GetString(), ignoreCase: true);
    }

    [Fact]
    public async Task An_answer_that_the_caller_has_is_not_sent_again()
    {
        using HttpResponseMessage first = await Client.GetAsync("/api/v1/vessels/PR1-A1/trend", Ended);
        string tag = first.Headers.ETag!.ToString();
        using var request = new HttpRequestMessage(HttpMethod.Get, "/api/v1/vessels/PR1-A1/trend");
        request.Headers.IfNoneMatch.ParseAdd($"\"other\", {tag}");
        using HttpResponseMessage again = await Client.SendAsync(request, Ended);
        Assert.Equal(HttpStatusCode.NotModified, again.StatusCode);
        Assert.Empty(await again.Content.ReadAsByteArrayAsync(Ended));
        using HttpResponseMessage other = await Client.GetAsync("/api/v1/vessels/PR1-A1/trend?to=2000-01-01", Ended);
        Assert.NotEqual(tag, other.Headers.ETag!.ToString());
    }

    [Fact]
    public async Task Windows_are_filtered_by_standing_and_span_and_each_can_be_asked_for()
    {
        PrechargeWindow[] expected = [.. fixture.Plant.Store.Windows("PR1-A2").Where(window => window.Standing == WindowStanding.Rejected)];
        DateTimeOffset from = expected[expected.Length / 2].Middle;
        using JsonDocument page = await JsonAsync($"/api/v1/vessels/PR1-A2/windows?standing=rejected&size=1000&from={from:yyyy-MM-dd'T'HH:mm:ss.fffffff'Z'}");
        Assert.Equal(expected.Count(window => window.Middle >= from), page.RootElement.GetProperty("total").GetInt32());
        string id = page.RootElement.GetProperty("items")[0].GetProperty("id").GetString()!;
        using JsonDocument one = await JsonAsync($"/api/v1/vessels/PR1-A2/windows/{id}");
        Assert.Equal(expected[^1].Start, one.RootElement.GetProperty("start").GetDateTimeOffset());
        Assert.Equal(expected[^1].Reason, one.RootElement.GetProperty("reason").GetString());
    }

    [Fact]
    public async Task Readings_come_page_by_page_complete_and_in_order()
    {
        DateTimeOffset from = fixture.Plant.Store.Windows("PR1-A1")[0].Start;
        DateTimeOffset to = from.AddHours(6);
        IReadOnlyList<Reading> expected = fixture.Plant.Store.Readings("PR1-A1", from, to, int.MaxValue);
        Assert.True(expected.Count > 40, $"Only {expected.Count} readings: the test has proved nothing.");
        List<Reading> seen = [];
        string? at = Text(from);
        while (at is not null)
        {
            using JsonDocument page = await JsonAsync($"/api/v1/vessels/PR1-A1/readings?limit=11&from={at}&to={Text(to)}");
            seen.AddRange(page.RootElement.GetProperty("items").EnumerateArray().Select(item => new Reading(
                Enum.Parse<Signal>(item.GetProperty("signal").GetString()!, ignoreCase: true),
                item.GetProperty("instant").GetDateTimeOffset(),
                item.GetProperty("value").GetDouble())));
            at = page.RootElement.GetProperty("next").ValueKind == JsonValueKind.Null ? null : Text(page.RootElement.GetProperty("next").GetDateTimeOffset());
        }

        Assert.Equal(expected, seen);

        static string Text(DateTimeOffset instant) => instant.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fffffff'Z'", System.Globalization.CultureInfo.InvariantCulture);
    }

    [Fact]
    public async Task Hours_stand_where_raw_readings_are_past_their_retention()
    {
        string folder = Directory.CreateTempSubdirectory("driftwatch-hours-").FullName;
        try
        {
            using PlantStore store = new(new StoreOptions { Path = Path.Combine(folder, "driftwatch.db"), RawRetention = TimeSpan.FromDays(120) });
            var assessor = new Assessor(fixture.Plant.Register, store, AlarmHandling.Usual, TimeProvider.System, NullLogger<Assessor>.Instance);
            string file = Path.Combine(Repository.SampleStreams, "PR1-A1.csv.gz");
            foreach (VesselReading[] readings in new LoggerFileReader(fixture.Plant.Register).Read(file, DateTimeOffset.MaxValue, row => throw new InvalidDataException(row.ToString())).Chunk(20_000))
            {
                // Each stretch is assessed by itself: raw readings stay back to the last state before their retention.
                store.Commit(readings, []);
                assessor.TakeInWaiting(Ended);
            }

            store.Tend(fixture.Plant.Clock.Now, Ended);
            HourlyRollUp newest = store.RollUps("PR1-A1")[^1];
            await using ServedDesk desk = await ServedDesk.StartAsync(fixture.Plant.Register, store, fixture.Plant.Clock);
            using JsonDocument page = JsonDocument.Parse(await desk.Client.GetStringAsync("/api/v1/vessels/PR1-A1/hours?size=5", Ended));
            JsonElement[] items = [.. page.RootElement.GetProperty("items").EnumerateArray()];
            Assert.Equal(5, items.Length);
            Assert.Equal(newest.Hour, items[0].GetProperty("hour").GetDateTimeOffset());
            Assert.Equal(newest.Mean, items[0].GetProperty("mean").GetDouble());
            using JsonDocument before = JsonDocument.Parse(await desk.Client.GetStringAsync("/api/v1/vessels/PR1-A1/hours?to=1990-01-01", Ended));
            Assert.Equal(0, before.RootElement.GetProperty("total").GetInt32());
        }
        finally
        {
            Directory.Delete(folder, recursive: true);
        }
    }

    [Theory]
    [InlineData("/api/v1/vessels/XX9", 404, "XX9")]
    [InlineData("/api/v1/vessels/XX9/hours", 404, "XX9")]
    [InlineData("/api/v1/vessels/XX9/trend", 404, "XX9")]
    [InlineData("/api/v1/vessels/PR1-A1/windows/20990101T000000Z", 404, "20990101T000000Z")]
    [InlineData("/api/v1/vessels?size=501", 400, "500")]
    [InlineData("/api/v1/vessels?verdict=safe", 400, "withinLimits")]
    [InlineData("/api/v1/vessels?sort=0", 400, "urgency")]
    [InlineData("/api/v1/vessels/PR1-A1/windows?from=yesterday", 400, "yesterday")]
    [InlineData("/api/v1/vessels/PR1-A1/windows?from=2026-02-01&to=2026-01-01", 400, "before it ends")]
    [InlineData("/api/v1/vessels/PR1-A1/readings?limit=1", 400, "10")]
    [InlineData("/api/v1/nothing", 404, "no page")]
    public async Task A_call_that_cannot_be_answered_gets_problem_details(string address, int status, string says)
    {
        using HttpResponseMessage answer = await Client.GetAsync(address, Ended);
        string body = await answer.Content.ReadAsStringAsync(Ended);
        Assert.Equal(status, (int)answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType?.MediaType);
        using JsonDocument problem = JsonDocument.Parse(body);
        Assert.Equal(status, problem.RootElement.GetProperty("status").GetInt32());
        Assert.NotEmpty(problem.RootElement.GetProperty("title").GetString()!);
        Assert.Contains(says, body, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_call_that_would_write_is_refused()
    {
        using HttpResponseMessage answer = await Client.PostAsync("/api/v1/vessels", null, Ended);
        Assert.Equal(HttpStatusCode.MethodNotAllowed, answer.StatusCode);
        Assert.Equal("application/problem+json", answer.Content.Headers.ContentType?.MediaType);
    }

    [Fact]
    public async Task The_description_names_each_call_and_its_answer()
    {
        using JsonDocument description = await JsonAsync("/api/v1/openapi.json");
        JsonElement root = description.RootElement;
        Assert.StartsWith("3.", root.GetProperty("openapi").GetString(), StringComparison.Ordinal);
        string[] paths = [.. root.GetProperty("paths").EnumerateObject().Select(path => path.Name).Order(StringComparer.Ordinal)];
        Assert.Equal(
            [
                "/api/v1/alarms", "/api/v1/alarms/figures", "/api/v1/round", "/api/v1/sheets/fleet", "/api/v1/sheets/job", "/api/v1/sheets/vessel",
                "/api/v1/vessels", "/api/v1/vessels/{id}", "/api/v1/vessels/{id}/alarm-journal", "/api/v1/vessels/{id}/alarms",
                "/api/v1/vessels/{id}/alarms/{kind}", "/api/v1/vessels/{id}/alarms/{kind}/actions", "/api/v1/vessels/{id}/charging", "/api/v1/vessels/{id}/hours", "/api/v1/vessels/{id}/jobs",
                "/api/v1/vessels/{id}/readings", "/api/v1/vessels/{id}/register-history", "/api/v1/vessels/{id}/trend", "/api/v1/vessels/{id}/windows", "/api/v1/vessels/{id}/windows/{window}",
                "/api/v1/vessels/{id}/work", "/api/v1/vessels/{id}/work/{record}", "/api/v1/vessels/{id}/work/{record}/void/{voiding}",
            ],
            paths);
        Assert.All(
            root.GetProperty("paths").EnumerateObject().SelectMany(path => path.Value.EnumerateObject().Select(call => (path.Name, Call: call.Value))),
            one => Assert.True(
                one.Call.GetProperty("responses").GetProperty("200").GetProperty("content")
                    .TryGetProperty(one.Name.Contains("/sheets/", StringComparison.Ordinal) ? "application/pdf" : "application/json", out _),
                one.Call.ToString()));
        Assert.Equal(["bearer", "session"], root.GetProperty("components").GetProperty("securitySchemes").EnumerateObject().Select(scheme => scheme.Name).Order(StringComparer.Ordinal));
        JsonElement act = root.GetProperty("paths").GetProperty("/api/v1/vessels/{id}/alarms/{kind}/actions").GetProperty("post");
        Assert.Equal(["bearer"], act.GetProperty("security").EnumerateArray().SelectMany(one => one.EnumerateObject()).Select(scheme => scheme.Name));
        Assert.Equal(["Idempotency-Key", "If-Match", "id", "kind"], act.GetProperty("parameters").EnumerateArray().Select(parameter => parameter.GetProperty("name").GetString()!).Order(StringComparer.Ordinal));
    }

    private async Task<JsonDocument> JsonAsync(string address)
    {
        using HttpResponseMessage answer = await Client.GetAsync(address, Ended);
        string body = await answer.Content.ReadAsStringAsync(Ended);
        Assert.True(answer.IsSuccessStatusCode, body);
        return JsonDocument.Parse(body);
    }
}
