using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Webhook;

/// <summary>Settings of an HTTP webhook.</summary>
public sealed record WebhookOptions
{
    /// <summary>Name of the channel in the outbox. Default: webhook.</summary>
    public string Name { get; init; } = "webhook";

    /// <summary>Where notices are posted to: an absolute http or https address.</summary>
    public required string Url { get; init; }

    /// <summary>
    /// How the CloudEvent is written: <c>structured</c> (one JSON envelope) or <c>binary</c> (attributes as headers, the
    /// document as the body). Default structured.
    /// </summary>
    public string Mode { get; init; } = "structured";

    /// <summary>Where the signing secret stands, <c>whsec_BASE64</c>; none: requests are not signed.</summary>
    public SecretSource? SigningSecret { get; init; }

    /// <summary>Where a second secret stands that signs as well, for the time of a change of secrets.</summary>
    public SecretSource? SecondSigningSecret { get; init; }

    /// <summary>Where a bearer token for the Authorization header stands; none by default.</summary>
    public SecretSource? BearerToken { get; init; }

    /// <summary>File with the template that gives the data other names; none: the job document as it is.</summary>
    public string? TemplateFile { get; init; }

    /// <summary>TLS settings for https; none: the system's authorities.</summary>
    public TlsSettings? Tls { get; init; }

    /// <summary>How long a request may take; above 0, at most 1 h. Default 30 s.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>Whether alarms are told by it too. Default: no.</summary>
    public bool Alarms { get; init; }

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults(string at = "")
    {
        FaultList faults = new(at);
        faults.CheckName(Name);
        bool absolute = Uri.TryCreate(Url, UriKind.Absolute, out Uri? url) && url.Scheme is "http" or "https";
        faults.Check(absolute, "url", $"is no absolute http or https address.");
        faults.Check(!absolute || string.IsNullOrEmpty(url!.UserInfo), "url", $"holds a user or password: give a secret by bearerToken.");
        faults.Check(Mode is "structured" or "binary", "mode", $"is '{Mode}': give structured or binary.");
        faults.Check(SigningSecret is not null || SecondSigningSecret is null, "signingSecret", $"is missing: the second one stands beside it.");
        faults.CheckSigningSecret("signingSecret", SigningSecret);
        faults.CheckSigningSecret("secondSigningSecret", SecondSigningSecret);
        faults.Add(BearerToken?.Faults(faults.Field("bearerToken")) ?? []);
        faults.Add(Tls?.Faults(faults.Field("tls")) ?? []);
        faults.CheckTimeout(Timeout);
        if (TemplateFile is not null)
        {
            try
            {
                _ = FieldTemplate.Load(TemplateFile);
            }
            catch (Exception fault) when (fault is IOException or UnauthorizedAccessException or FormatException)
            {
                faults.Check(false, "templateFile", $"'{TemplateFile}': {fault.Message}");
            }
        }

        return faults.All;
    }
}
