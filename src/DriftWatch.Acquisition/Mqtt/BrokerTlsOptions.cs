namespace DriftWatch.Acquisition.Mqtt;

/// <summary>TLS of the embedded broker; without it, passwords and readings cross the network in the clear.</summary>
public sealed record BrokerTlsOptions
{
    /// <summary>PEM file of the broker's certificate; a renewed one is shown from the next connection on.</summary>
    public required string CertificateFile { get; init; }

    /// <summary>PEM file of its key, where the certificate file does not hold it; default none.</summary>
    public string? KeyFile { get; init; }

    /// <summary>
    /// PEM file of the authorities whose certificates clients must bear; default none: clients need no certificate.
    /// </summary>
    public string? ClientAuthorityFile { get; init; }
}
