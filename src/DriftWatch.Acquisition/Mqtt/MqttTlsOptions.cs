namespace DriftWatch.Acquisition.Mqtt;

/// <summary>TLS to the broker. The certificate of the broker is always checked.</summary>
public sealed record MqttTlsOptions
{
    /// <summary>PEM file of the authorities trusted; default none: those of the system.</summary>
    public string? AuthorityFile { get; init; }

    /// <summary>PEM file of the client's certificate; default none.</summary>
    public string? ClientCertificateFile { get; init; }

    /// <summary>PEM file of the client's key, where the certificate file does not hold it; default none.</summary>
    public string? ClientKeyFile { get; init; }

    /// <summary>Name the broker's certificate must bear; default none: the host name.</summary>
    public string? ServerName { get; init; }
}
