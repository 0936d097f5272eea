using System.Text.Json;
using System.Text.Json.Serialization;

namespace DriftWatch.Host.Settings;

/// <summary>The service's settings file (JSON). Paths are relative to the file.</summary>
public sealed record ServiceSettings
{
    /// <summary>The vessel register.</summary>
    public required string Register { get; init; }

    /// <summary>Folder of the embedded store; default <c>data</c>.</summary>
    public string DataFolder { get; init; } = "data";

    /// <summary>Folder the trend charts are drawn into; default <c>charts</c>.</summary>
    public string ChartFolder { get; init; } = "charts";

    /// <summary>Where readings come from; default the embedded broker on 127.0.0.1:1883.</summary>
    public BrokerSettings Broker { get; init; } = new();

    /// <summary>Where jobs go.</summary>
    public QueueSettings Queue { get; init; } = new();

    /// <summary>Unit of pressure for people: bar, MPa, kPa or psi; default bar.</summary>
    public string PressureUnit { get; init; } = "bar";
}

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

/// <summary>The maintenance queues that jobs are delivered to.</summary>
public sealed record QueueSettings
{
    /// <summary>Folder of the file queue, one JSON document a notice; default <c>queue</c>.</summary>
    public string Folder { get; init; } = "queue";

    /// <summary>An MQTT broker that jobs are published to; none by default.</summary>
    public MqttQueueSettings? Mqtt { get; init; }
}

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

[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
    ReadCommentHandling = JsonCommentHandling.Skip,
    AllowTrailingCommas = true,
    WriteIndented = true)]
[JsonSerializable(typeof(ServiceSettings))]
internal sealed partial class SettingsJson : JsonSerializerContext;
