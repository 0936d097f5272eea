namespace DriftWatch.Host.Settings;

/// <summary>An MQTT broker that jobs are published to.</summary>
public sealed record MqttQueueSettings
{
    /// <summary>Host of the broker.</summary>
    public required string Host { get; init; }

    /// <summary>Port; default 1883.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>First levels of the topics; default driftwatch.</summary>
    public string TopicPrefix { get; init; } = "driftwatch";

    /// <summary>User name.</summary>
    public string? UserName { get; init; }

    /// <summary>Environment variable that holds the password.</summary>
    public string? PasswordEnvironmentVariable { get; init; }
}
