using MQTTnet.Formatter;

namespace DriftWatch.Delivery.Mqtt;

/// <summary>Settings of the MQTT channel.</summary>
public sealed record MqttJobOptions
{
    /// <summary>Name of the channel in the outbox. Default: mqtt.</summary>
    public string Name { get; init; } = "mqtt";

    /// <summary>Host name or address of the broker.</summary>
    public required string Host { get; init; }

    /// <summary>Its TCP port, 1 to 65535. Default 1883, the port registered for MQTT.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>Protocol version, MQTT 5 or 3.1.1. Default 5.</summary>
    public MqttProtocolVersion Protocol { get; init; } = MqttProtocolVersion.V500;

    /// <summary>Client identifier; unique at the broker. Default: driftwatch-jobs.</summary>
    public string ClientId { get; init; } = "driftwatch-jobs";

    /// <summary>User name; null for none.</summary>
    public string? UserName { get; init; }

    /// <summary>Password of the user. It stands in no message of this program.</summary>
    public string? Password { get; init; }

    /// <summary>What the topics begin with, without a slash at its ends. Default: driftwatch.</summary>
    public string TopicPrefix { get; init; } = "driftwatch";

    /// <summary>How long connecting or the broker's acknowledgement may take; above 0. Default 10 s.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults()
    {
        List<string> faults = [];
        if (string.IsNullOrWhiteSpace(Name))
        {
            faults.Add("Name is empty: give the channel a name.");
        }

        if (string.IsNullOrWhiteSpace(Host))
        {
            faults.Add("Host is empty: name the broker.");
        }

        if (Port is not (>= 1 and <= 65535))
        {
            faults.Add($"Port is {Port}: it must be from 1 to 65535.");
        }

        if (Protocol is not (MqttProtocolVersion.V500 or MqttProtocolVersion.V311))
        {
            faults.Add($"Protocol is {Protocol}: it must be MQTT 5 (V500) or 3.1.1 (V311).");
        }

        if (string.IsNullOrEmpty(TopicPrefix) || TopicPrefix.AsSpan().ContainsAny("+#\0") || TopicPrefix.StartsWith('/') || TopicPrefix.EndsWith('/'))
        {
            faults.Add($"TopicPrefix is '{TopicPrefix}': it must not be empty, hold '+' or '#', or begin or end with '/'.");
        }

        if (!(Timeout > TimeSpan.Zero && Timeout <= TimeSpan.FromHours(1)))
        {
            faults.Add($"Timeout is {Timeout}: it must be above 0 and at most 1 h.");
        }

        return faults;
    }

    /// <summary>The settings without the password.</summary>
    public override string ToString() => $"{Name}: {Host}:{Port}, {TopicPrefix}";
}
