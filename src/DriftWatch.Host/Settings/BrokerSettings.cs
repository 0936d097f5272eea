namespace DriftWatch.Host.Settings;

/// <summary>The MQTT broker that readings come from.</summary>
public sealed record BrokerSettings
{
    /// <summary>Host of an outside broker; none for the embedded one.</summary>
    public string? Host { get; init; }

    /// <summary>Port of either; default 1883, 1 to 65535 (the embedded one also takes 0: any free port).</summary>
    public int Port { get; init; } = 1883;

    /// <summary>Version of MQTT spoken to an outside broker: 5 or 3.1.1; default 5.</summary>
    public string Version { get; init; } = "5";

    /// <summary>Client id towards an outside broker, which keeps the session under it; default driftwatch.</summary>
    public string ClientId { get; init; } = "driftwatch";

    /// <summary>User name towards an outside broker.</summary>
    public string? UserName { get; init; }

    /// <summary>Environment variable that holds the password.</summary>
    public string? PasswordEnvironmentVariable { get; init; }

    /// <summary>File whose first line is the password.</summary>
    public string? PasswordFile { get; init; }

    /// <summary>PEM file of the authorities to trust; given, TLS is used.</summary>
    public string? AuthorityFile { get; init; }
}
