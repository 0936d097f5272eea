using System.Net;
using System.Text;
using System.Text.Json.Nodes;
using DriftWatch.Delivery.Answers;
using DriftWatch.Delivery.Security;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Verdicts;
using Microsoft.Extensions.Logging.Abstractions;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Web.Tests;

/// <summary>Answers of queues over HTTP: signed by the scheme of the notices, bare or as events.</summary>
public sealed class AnswerEndpointTests : IAsyncLifetime
{
    private const string Secret = "whsec_MDEyMzQ1Njc4OTAxMjM0NTY3ODkwMTIzNDU2Nzg5MDE=";
    private static readonly DateTimeOffset Noon = new(2026, 3, 1, 12, 0, 0, TimeSpan.Zero);

    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("driftwatch-answers-");
    private readonly FakeTimeProvider _time = new(Noon);
    private PlantStore _store = null!;
    private ServedDesk _desk = null!;
    private string _key = "";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public async ValueTask InitializeAsync()
    {
        VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
        _store = new PlantStore(new StoreOptions { Path = Path.Combine(_folder.FullName, "driftwatch.db") });
        Assessment assessment = new() { AsOf = Noon.AddDays(-1), Verdict = Verdict.NoWindowTooLong, Reason = "Nothing was seen." };
        Job job = JobWriter.Write(register.Vessels[0], JobCause.NoWindowTooLong, assessment);
        _key = job.Key;
        _store.Save(new VesselStep
        {
            VesselId = job.VesselId,
            InboxSequence = 0,
            Windows = [],
            Assessment = assessment,
            Notices = [new JobNotice(job, JobState.Open, assessment.AsOf, "")],
            Checkpoint = new VesselCheckpoint(assessment.AsOf, default),
        });
        string secretFile = Path.Combine(_folder.FullName, "secret");
        await File.WriteAllTextAsync(secretFile, Secret, Ended);
        AnswerDesk answers = new(_store, new AnswerOptions { SigningSecret = new SecretSource { File = secretFile } }, _time, NullLogger<AnswerDesk>.Instance);

        // Signing in is for people: a queue vouches for itself by its signature.
        _desk = await ServedDesk.StartAsync(
            register, _store, new PlantClock(_time), new WebSettings { Port = 0, SignIn = "local" }, _time, answers: answers);
    }

    public async ValueTask DisposeAsync()
    {
        await _desk.DisposeAsync();
        _store.Dispose();
        _folder.Delete(recursive: true);
    }

    [Fact]
    public async Task A_signed_answer_is_on_record_once()
    {
        JsonObject first = await ReadAsync(await PostAsync(Answer(), "application/json"), HttpStatusCode.OK);
        Assert.Equal("recorded", (string?)first["result"]);
        Assert.Equal("repeated", (string?)(await ReadAsync(await PostAsync(Answer(), "application/json"), HttpStatusCode.OK))["result"]);
        RecordedAnswer recorded = Assert.Single(_store.AnswersAfter(0, 10));
        Assert.Equal((_key, "http", "signature"), (recorded.Answer.JobKey, recorded.Via, recorded.Authority));
        Assert.Equal(98.5, Assert.Single(_store.Work()).Record.GasPressureBarGauge);
    }

    [Theory]
    [InlineData("structured")]
    [InlineData("binary")]
    public async Task An_event_is_taken_in_both_modes(string mode)
    {
        HttpResponseMessage response = mode == "structured"
            ? await PostAsync(new JsonObject { ["specversion"] = "1.0", ["type"] = "driftwatch.job.answer", ["id"] = "e1", ["source"] = "/cmms", ["data"] = Answer() }, "application/cloudevents+json; charset=utf-8")
            : await PostAsync(Answer(), "application/json", ("ce-specversion", "1.0"), ("ce-type", "driftwatch.job.answer"), ("ce-id", "e1"), ("ce-source", "/cmms"));
        Assert.Equal("recorded", (string?)(await ReadAsync(response, HttpStatusCode.OK))["result"]);
        Assert.Equal("wo-1", Assert.Single(_store.AnswersAfter(0, 10)).Answer.Id);
    }

    [Theory]
    [InlineData("driftwatch.job.opened", "1.0", "e1", "type is")]
    [InlineData("driftwatch.job.answer", "0.3", "e1", "specversion is")]
    [InlineData("driftwatch.job.answer", "1.0", "", "id or source is missing")]
    public async Task An_event_that_is_no_answer_is_told_so_and_set_aside(string type, string version, string id, string says)
    {
        JsonObject problem = await ReadAsync(
            await PostAsync(new JsonObject { ["specversion"] = version, ["type"] = type, ["id"] = id, ["source"] = "/cmms", ["data"] = Answer() }, "application/cloudevents+json"),
            HttpStatusCode.UnprocessableEntity);
        Assert.Contains(says, (string?)problem["detail"], StringComparison.Ordinal);
        Assert.Single(_store.Quarantine());
        Assert.Empty(_store.AnswersAfter(0, 10));
    }

    [Fact]
    public async Task Nobody_vouching_is_told_so_and_fills_no_store()
    {
        byte[] body = Encoding.UTF8.GetBytes(Answer().ToJsonString());
        string signature = WebhookSignature.Sign(WebhookSignature.KeyOf(Secret), "m1", Noon, body);
        await ReadAsync(await SendAsync(body, "application/json", null, null), HttpStatusCode.Unauthorized);
        await ReadAsync(await SendAsync([.. body, (byte)' '], "application/json", Noon, signature), HttpStatusCode.Unauthorized);
        await ReadAsync(await SendAsync(body, "application/json", Noon.AddSeconds(1), signature), HttpStatusCode.Unauthorized);

        // The window is five minutes to both sides.
        _time.SetUtcNow(Noon.AddSeconds(301));
        await ReadAsync(await SendAsync(body, "application/json", Noon, signature), HttpStatusCode.Unauthorized);
        Assert.Empty(_store.Quarantine());
        Assert.Empty(_store.AnswersAfter(0, 10));
        _time.AdjustTime(Noon.AddSeconds(300));
        await ReadAsync(await SendAsync(body, "application/json", Noon, signature), HttpStatusCode.OK);
    }

    [Fact]
    public async Task What_is_too_long_of_another_kind_or_wrong_in_itself_gets_problem_details()
    {
        JsonObject big = Answer();
        big["padding"] = new string('x', 17_000);
        await ReadAsync(await PostAsync(big, "application/json"), HttpStatusCode.RequestEntityTooLarge);
        await ReadAsync(await PostAsync(Answer(), "text/plain"), HttpStatusCode.UnsupportedMediaType);
        JsonObject unknown = Answer();
        unknown["jobKey"] = "PR1-A1/no/job";
        JsonObject problem = await ReadAsync(await PostAsync(unknown, "application/json"), HttpStatusCode.UnprocessableEntity);
        Assert.Contains("key of no job", (string?)problem["detail"], StringComparison.Ordinal);
    }

    /// <summary>The published JSON Schema is written by hand, and so is the description of the interface: they say the same.</summary>
    [Fact]
    public async Task The_description_shows_the_body_as_its_schema_does_and_its_example_is_taken()
    {
        using HttpClient program = _desk.Program(Role.Viewer, "Ada");
        JsonObject description = await ReadAsync(await program.GetAsync("/api/v1/openapi.json", Ended), HttpStatusCode.OK);
        JsonNode call = description["paths"]!["/api/v1/answers"]!["post"]!;
        Assert.True((bool)call["requestBody"]!["required"]!);
        Assert.Empty(call["security"]?.AsArray() ?? []);
        Assert.Equal(["webhook-id", "webhook-signature", "webhook-timestamp"], call["parameters"]!.AsArray().Select(parameter => (string)parameter!["name"]!).Order(StringComparer.Ordinal));
        JsonNode content = call["requestBody"]!["content"]!;
        Assert.Equal("#/components/schemas/JobAnswer", (string?)content["application/json"]!["schema"]!["$ref"]);
        Assert.Equal("#/components/schemas/JobAnswer", (string?)content["application/cloudevents+json"]!["schema"]!["properties"]!["data"]!["$ref"]);

        JsonNode published = JsonNode.Parse(await File.ReadAllTextAsync(Path.Combine(Repository.Root, "docs", "schema", "answer.schema.json"), Ended))!;
        AssertSame(published, description["components"]!["schemas"]!["JobAnswer"]!);
        AssertSame(published["properties"]!["values"]!, description["components"]!["schemas"]!["JobAnswer"]!["properties"]!["values"]!);

        foreach (string kind in (string[])["application/json", "application/cloudevents+json"])
        {
            JsonObject example = content[kind]!["example"]!.DeepClone().AsObject();
            JsonNode answer = example["data"] ?? example;
            (answer["id"], answer["jobKey"], answer["at"]) = (kind, _key, "2026-03-01T11:00:00+01:00");
            Assert.Equal("recorded", (string?)(await ReadAsync(await PostAsync(example, kind), HttpStatusCode.OK))["result"]);
        }

        static void AssertSame(JsonNode published, JsonNode described)
        {
            Assert.Equal(Texts(published["required"]!), Texts(described["required"]!));
            Assert.Equal(published["properties"]!.AsObject().Select(field => field.Key).Order(StringComparer.Ordinal), described["properties"]!.AsObject().Select(field => field.Key).Order(StringComparer.Ordinal));
            foreach ((string name, JsonNode? field) in published["properties"]!.AsObject())
            {
                JsonNode other = described["properties"]![name]!;
                Assert.All(["pattern", "format"], limit => Assert.Equal((string?)field![limit], (string?)other[limit]));
                Assert.All(["minLength", "maxLength", "minimum", "maximum"], limit => Assert.Equal((double?)field![limit], (double?)other[limit]));
                Assert.Equal(Texts(field!["enum"]), Texts(other["enum"]));
                Assert.True(field["type"] is not { } type || Texts(type).SequenceEqual(Texts(other["type"])), name);
            }
        }

        static string[] Texts(JsonNode? node) => node switch
        {
            null => [],
            JsonArray array => [.. array.Select(item => (string)item!).Order(StringComparer.Ordinal)],
            _ => [(string)node!],
        };
    }

    private JsonObject Answer() => new()
    {
        ["schemaVersion"] = "1.0",
        ["id"] = "wo-1",
        ["jobKey"] = _key,
        ["answer"] = "done",
        ["who"] = "M. Fitter",
        ["at"] = "2026-03-01T11:00:00Z",
        ["values"] = new JsonObject { ["work"] = "checked", ["gasPressureBarGauge"] = 98.5, ["gasTemperatureCelsius"] = 19 },
    };

    private Task<HttpResponseMessage> PostAsync(JsonObject document, string contentType, params (string Name, string Value)[] headers)
    {
        byte[] body = Encoding.UTF8.GetBytes(document.ToJsonString());
        DateTimeOffset now = _time.GetUtcNow();
        return SendAsync(body, contentType, now, WebhookSignature.Sign(WebhookSignature.KeyOf(Secret), "m1", now, body), headers);
    }

    private async Task<HttpResponseMessage> SendAsync(
        byte[] body, string contentType, DateTimeOffset? at, string? signature, params (string Name, string Value)[] headers)
    {
        using HttpRequestMessage request = new(HttpMethod.Post, "/api/v1/answers") { Content = new ByteArrayContent(body) };
        request.Content.Headers.Add("Content-Type", contentType);
        if (at is { } moment && signature is not null)
        {
            request.Headers.Add("webhook-id", "m1");
            request.Headers.Add("webhook-timestamp", moment.ToUnixTimeSeconds().ToString(System.Globalization.CultureInfo.InvariantCulture));
            request.Headers.Add("webhook-signature", signature);
        }

        foreach ((string name, string value) in headers)
        {
            request.Headers.Add(name, value);
        }

        return await _desk.Client.SendAsync(request, Ended);
    }

    /// <summary>The body as JSON; of a failure it is problem details (RFC 9457).</summary>
    private static async Task<JsonObject> ReadAsync(HttpResponseMessage response, HttpStatusCode expected)
    {
        string text = await response.Content.ReadAsStringAsync(Ended);
        Assert.True(response.StatusCode == expected, $"{response.StatusCode}: {text}");
        JsonObject body = JsonNode.Parse(text)!.AsObject();
        if (expected != HttpStatusCode.OK)
        {
            Assert.Equal("application/problem+json", response.Content.Headers.ContentType!.MediaType);
            Assert.Equal((int)expected, (int)body["status"]!);
        }

        return body;
    }
}
