using System.Net;
using System.Net.Http.Headers;
using System.Net.Security;
using System.Text.Json;
using System.Text.Json.Nodes;
using CloudNative.CloudEvents;
using CloudNative.CloudEvents.Http;
using CloudNative.CloudEvents.SystemTextJson;
using DriftWatch.Delivery.Alarms;
using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Security;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Delivery.Webhook;

/// <summary>
/// A maintenance queue behind an HTTP address: each notice is a POST of a CloudEvents 1.0 event, signed by the Standard
/// Webhooks scheme, with the same id and Idempotency-Key at every repetition. Delivered means answered with a 2xx status.
/// </summary>
public sealed class WebhookChannel : IJobChannel, IAlarmChannel, IDisposable
{
    private readonly WebhookOptions _options;
    private readonly TimeProvider _clock;
    private readonly FieldTemplate? _template;
    private readonly HttpClient _http;
    private readonly JsonEventFormatter _formatter = new(
        new JsonSerializerOptions { Encoder = DocumentJson.Signs }, default);

    /// <summary>A channel to an address; connects on the first delivery.</summary>
    /// <param name="options">Settings.</param>
    /// <param name="clock">Clock for the moment of signing.</param>
    /// <exception cref="ArgumentException">The settings have faults; all are named.</exception>
    public WebhookChannel(WebhookOptions options, TimeProvider clock)
    {
        FaultList.Refuse(options.Faults(), nameof(options));
        _options = options;
        _clock = clock;
        _template = options.TemplateFile is { } file ? FieldTemplate.Load(file) : null;

        // A redirect would take the secrets along to an address that nobody has approved.
        SocketsHttpHandler handler = new() { AllowAutoRedirect = false, PooledConnectionLifetime = TimeSpan.FromMinutes(5) };
        if (options.Tls is { } tls)
        {
            handler.SslOptions = new SslClientAuthenticationOptions
            {
                TargetHost = tls.ServerName,
                RemoteCertificateValidationCallback = (_, certificate, chain, errors) => tls.Trusts(certificate, chain, errors),
                ClientCertificates = tls.ClientCertificate() is { } own ? [own] : null,
            };
        }

        _http = new HttpClient(handler) { Timeout = options.Timeout };
    }

    /// <inheritdoc/>
    public string Name => _options.Name;

    /// <inheritdoc/>
    public TimeSpan AnswerTimeout => _options.Timeout;

    /// <inheritdoc/>
    public Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken) => PostAsync(JobDocument.From(notice), _template, cancellationToken);

    /// <inheritdoc/>
    public Task DeliverAsync(AlarmNotice notice, CancellationToken cancellationToken) => PostAsync(AlarmDocument.From(notice), template: null, cancellationToken);

    private async Task PostAsync(NoticeDocument document, FieldTemplate? template, CancellationToken cancellationToken)
    {
        // The ids of jobs and alarms never meet: those of a job hold its state.
        string id = NoticeId.Of(document.Id);
        using HttpContent content = Event(document, template).ToHttpContent(
            _options.Mode == "binary" ? ContentMode.Binary : ContentMode.Structured, _formatter);
        using HttpRequestMessage request = new(HttpMethod.Post, _options.Url) { Content = content };
        request.Headers.Add("Idempotency-Key", $"\"{id}\"");
        request.Headers.Add(WebhookSignature.IdHeader, id);
        if (_options.BearerToken is { } token)
        {
            request.Headers.Authorization = new AuthenticationHeaderValue("Bearer", token.Read());
        }

        if (_options.SigningSecret is { } secret)
        {
            byte[] body = await content.ReadAsByteArrayAsync(cancellationToken).ConfigureAwait(false);
            DateTimeOffset now = _clock.GetUtcNow();
            SecretSource?[] secrets = [secret, _options.SecondSigningSecret];
            request.Headers.Add(WebhookSignature.TimestampHeader, now.ToUnixTimeSeconds().ToString(System.Globalization.CultureInfo.InvariantCulture));
            request.Headers.Add(
                WebhookSignature.SignatureHeader,
                string.Join(' ', secrets.OfType<SecretSource>().Select(one => WebhookSignature.Sign(WebhookSignature.KeyOf(one.Read()), id, now, body))));
        }

        using HttpResponseMessage response = await _http.SendAsync(request, HttpCompletionOption.ResponseHeadersRead, cancellationToken).ConfigureAwait(false);
        if (response.IsSuccessStatusCode)
        {
            return;
        }

        // What the far side wrote is not repeated: it may hold anything.
        string said = $"The receiver answered {(int)response.StatusCode} {response.StatusCode}.";
        throw response.StatusCode is HttpStatusCode.BadRequest or HttpStatusCode.RequestEntityTooLarge or HttpStatusCode.UnsupportedMediaType or HttpStatusCode.UnprocessableEntity
            ? new NoticeRefusedException(said + " It cannot use this document: compare mode and template with what it asks for.", permanent: true)
            : new IOException(said);
    }

    /// <inheritdoc/>
    public void Dispose() => _http.Dispose();

    private static CloudEvent Event(NoticeDocument document, FieldTemplate? template)
    {
        JsonNode data = JsonNode.Parse(document.ToUtf8Json())!;
        return new CloudEvent(CloudEventsSpecVersion.V1_0)
        {
            Id = document.Id,
            Type = document.Type,
            Source = new Uri(document.Source, UriKind.Relative),
            Subject = document.Subject,
            Time = document.Time,
            DataContentType = "application/json",
            DataSchema = template is null ? new Uri(document.DataSchema) : null,
            Data = JsonSerializer.SerializeToElement(template is null ? data : template.Fill(data)),
        };
    }
}
