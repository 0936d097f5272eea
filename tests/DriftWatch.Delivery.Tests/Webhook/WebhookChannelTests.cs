using System.Globalization;
using System.Text.Json.Nodes;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Security;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Delivery.Webhook;
using DriftWatch.Plant.Jobs;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Delivery.Tests.Webhook;

/// <summary>Against a real HTTP server.</summary>
public sealed class WebhookChannelTests : IDisposable
{
    private const string Secret = "whsec_MDEyMzQ1Njc4OTAxMjM0NTY3ODkwMTIzNDU2Nzg5MDE=";
    private const string OldSecret = "whsec_YWJjZGVmZ2hpamtsbW5vcHFyc3R1dnd4eXphYmNkZWY=";

    private readonly TempFolder _folder = new();
    private readonly FakeTimeProvider _clock = new(new DateTimeOffset(2025, 3, 4, 5, 6, 7, TimeSpan.Zero));

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_structured_event_is_one_signed_envelope_around_the_document()
    {
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        using WebhookChannel channel = new(
            new WebhookOptions { Url = receiver.Url, SigningSecret = _folder.Secret(Secret), SecondSigningSecret = _folder.Secret(OldSecret), BearerToken = _folder.Secret("token-1") }, _clock);
        await channel.DeliverAsync(Given.Opened(), Ended);
        ReceivedRequest request = await receiver.NextAsync();

        Assert.Equal("POST /jobs", request.Line);
        Assert.StartsWith("application/cloudevents+json", request.Headers["Content-Type"], StringComparison.Ordinal);
        Assert.Equal("Bearer token-1", request.Headers["Authorization"]);
        JsonNode envelope = JsonNode.Parse(request.Body)!;
        JsonNode document = JsonNode.Parse(JobDocument.From(Given.Opened()).ToUtf8Json())!;
        Assert.Equal("1.0", (string?)envelope["specversion"]);
        foreach (string attribute in (string[])["id", "type", "source", "subject"])
        {
            Assert.Equal((string?)document[attribute], (string?)envelope[attribute]);
        }

        Assert.Equal(Given.Instant, DateTimeOffset.Parse((string)envelope["time"]!, CultureInfo.InvariantCulture));
        Assert.Equal("urn:driftwatch:schema:job:2.1", (string?)envelope["dataschema"]);
        Assert.True(JsonNode.DeepEquals(document, envelope["data"]));

        Assert.Equal(_clock.GetUtcNow().ToUnixTimeSeconds().ToString(CultureInfo.InvariantCulture), request.Headers["webhook-timestamp"]);
        foreach (string secret in (string[])[Secret, OldSecret])
        {
            Assert.True(WebhookSignature.Verifies(
                WebhookSignature.KeyOf(secret), request.Headers["webhook-id"], request.Headers["webhook-timestamp"], request.Headers["webhook-signature"], request.Body));
        }
    }

    [Fact]
    public async Task A_binary_event_has_its_attributes_in_headers_and_the_document_as_its_body()
    {
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        using WebhookChannel channel = new(new WebhookOptions { Url = receiver.Url, Mode = "binary" }, _clock);
        await channel.DeliverAsync(Given.Closed(), Ended);
        ReceivedRequest request = await receiver.NextAsync();
        Assert.StartsWith("application/json", request.Headers["Content-Type"], StringComparison.Ordinal);
        Assert.Equal("1.0", request.Headers["ce-specversion"]);
        Assert.Equal(Given.Closed().Key, request.Headers["ce-id"]);
        Assert.Equal("driftwatch.job.closed", request.Headers["ce-type"]);
        Assert.Equal("/driftwatch/vessels/P3-ACC-2", request.Headers["ce-source"]);
        Assert.True(JsonNode.DeepEquals(JsonNode.Parse(JobDocument.From(Given.Closed()).ToUtf8Json()), JsonNode.Parse(request.Body)));
        Assert.DoesNotContain("webhook-signature", request.Headers.Keys);
    }

    [Fact]
    public async Task A_repetition_has_the_same_keys_and_another_notice_others()
    {
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        using WebhookChannel channel = new(new WebhookOptions { Url = receiver.Url, SigningSecret = _folder.Secret(Secret) }, _clock);
        List<(string, string)> keys = [];
        foreach (JobNotice notice in (JobNotice[])[Given.Opened(), Given.Opened(), Given.Closed()])
        {
            await channel.DeliverAsync(notice, Ended);
            _clock.Advance(TimeSpan.FromMinutes(5));
            ReceivedRequest request = await receiver.NextAsync();
            keys.Add((request.Headers["Idempotency-Key"], request.Headers["webhook-id"]));
        }

        Assert.Equal(keys[0], keys[1]);
        Assert.NotEqual(keys[0].Item1, keys[2].Item1);
        Assert.NotEqual(keys[0].Item2, keys[2].Item2);
    }

    [Fact]
    public async Task A_template_gives_the_data_the_names_the_receiver_wants()
    {
        string template = Path.Combine(_folder.Path, "template.json");
        await File.WriteAllTextAsync(template, """{ "summary": "{{/job/reason}}", "safety": "{{/job/cautions}}" }""", Ended);
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        using WebhookChannel channel = new(new WebhookOptions { Url = receiver.Url, Mode = "binary", TemplateFile = template }, _clock);
        await channel.DeliverAsync(Given.Opened(), Ended);
        JsonNode body = JsonNode.Parse((await receiver.NextAsync()).Body)!;
        Assert.Equal(["summary", "safety"], body.AsObject().Select(field => field.Key));
        Assert.Equal(Given.Job().Reason, (string?)body["summary"]);
    }

    [Theory]
    [InlineData(400, true)]
    [InlineData(413, true)]
    [InlineData(415, true)]
    [InlineData(422, true)]
    [InlineData(401, false)]
    [InlineData(404, false)]
    [InlineData(409, false)]
    [InlineData(429, false)]
    [InlineData(500, false)]
    [InlineData(503, false)]
    public async Task Only_an_answer_about_the_document_itself_is_a_refusal(int status, bool refused)
    {
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        receiver.Answer = _ => (status, null);
        using WebhookChannel channel = new(new WebhookOptions { Url = receiver.Url }, _clock);
        Exception failure = await Assert.ThrowsAnyAsync<Exception>(() => channel.DeliverAsync(Given.Opened(), Ended));
        Assert.Equal(refused, failure is NoticeRefusedException { IsPermanent: true });
        Assert.Contains(status.ToString(CultureInfo.InvariantCulture), failure.Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_redirect_is_not_followed()
    {
        await using WebhookReceiver elsewhere = await WebhookReceiver.StartAsync();
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync();
        receiver.Answer = _ => (307, elsewhere.Url);
        using WebhookChannel channel = new(new WebhookOptions { Url = receiver.Url, BearerToken = _folder.Secret("token-1") }, _clock);
        Assert.Contains("307", (await Assert.ThrowsAsync<IOException>(() => channel.DeliverAsync(Given.Opened(), Ended))).Message, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Over_tls_the_receiver_is_trusted_only_by_its_authority()
    {
        using TestCertificates certificates = new();
        await using WebhookReceiver receiver = await WebhookReceiver.StartAsync(certificates);
        using WebhookChannel channel = new(new WebhookOptions { Url = receiver.Url, Tls = new TlsSettings { AuthorityFile = certificates.AuthorityFile } }, _clock);
        await channel.DeliverAsync(Given.Opened(), Ended);
        _ = await receiver.NextAsync();
        using WebhookChannel wary = new(new WebhookOptions { Url = receiver.Url }, _clock);
        _ = await Assert.ThrowsAsync<HttpRequestException>(() => wary.DeliverAsync(Given.Opened(), Ended));
    }

    [Fact]
    public void All_faults_of_the_settings_are_told_at_once_by_their_fields()
    {
        WebhookOptions bad = new()
        {
            Name = "a b",
            Url = "ftp://somewhere.invalid",
            Mode = "loud",
            SigningSecret = _folder.Secret("weak"),
            BearerToken = new SecretSource(),
            TemplateFile = "/nowhere/template.json",
            Timeout = TimeSpan.FromDays(1),
        };
        IReadOnlyList<string> faults = bad.Faults("queue.webhooks[0]");
        Assert.Equal(
            new[] { "name", "url", "mode", "signingSecret", "bearerToken", "timeout", "templateFile" }.Select(field => "queue.webhooks[0]." + field),
            faults.Select(fault => fault.Split(' ')[0]));
        Assert.DoesNotContain("weak", string.Join('\n', faults), StringComparison.Ordinal);
    }
}
