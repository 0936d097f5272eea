using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Mqtt;

/// <summary>Settings of the MQTT channel.</summary>
public sealed record MqttJobOptions
{
    /// <summary>Name of the channel in the outbox. Default: mqtt.</summary>
    public string Name { get; init; } = "mqtt";

    /// <summary>Host name or address of the broker.</summary>
    public required string Host { get; init; }

    /// <summary>Its TCP port, 1 to 65535. Default 1883, the port registered for MQTT; with TLS 8883 is usual.</summary>
    public int Port { get; init; } = 1883;

    /// <summary>Version of MQTT: 5 or 3.1.1. Default 5.</summary>
    public string Version { get; init; } = "5";

    /// <summary>Client identifier; unique at the broker. Default: driftwatch-jobs.</summary>
    public string ClientId { get; init; } = "driftwatch-jobs";

    /// <summary>User name; null for none.</summary>
    public string? UserName { get; init; }

    /// <summary>Where the user's password stands.</summary>
    public SecretSource? Password { get; init; }

    /// <summary>TLS; none by default.</summary>
    public TlsSettings? Tls { get; init; }

    /// <summary>What the topics begin with, without a slash at its ends. Default: driftwatch.</summary>
    public string TopicPrefix { get; init; } = "driftwatch";

    /// <summary>
    /// How long the broker keeps the last word on a job that is closed (MQTT 5 message expiry); 1 s to 10 years. Default
    /// 30 days. The word on an open job does not expire: whoever subscribes must find it.
    /// </summary>
    public TimeSpan KeepClosed { get; init; } = TimeSpan.FromDays(30);

    /// <summary>How long connecting or the broker's acknowledgement may take; above 0, at most 1 h. Default 10 s.</summary>
    public TimeSpan Timeout { get; init; } = TimeSpan.FromSeconds(10);

    /// <summary>Whether alarms are told by it too. Default: no.</summary>
    public bool Alarms { get; init; }

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults(string at = "")
    {
        FaultList faults = new(at);
        faults.CheckName(Name);
        faults.CheckHost(Host);
        faults.CheckPort(Port);
        faults.Check(Version is "5" or "3.1.1", "version", $"is '{Version}': give \"5\" or \"3.1.1\".");
        faults.Check(!string.IsNullOrWhiteSpace(ClientId), "clientId", $"is empty: the broker knows this side by it.");
        faults.CheckUser(UserName, Password);
        faults.Check(
            !string.IsNullOrEmpty(TopicPrefix) && !TopicPrefix.AsSpan().ContainsAny("+#\0") && !TopicPrefix.StartsWith('/') && !TopicPrefix.EndsWith('/'),
            "topicPrefix", $"is '{TopicPrefix}': it must not be empty, hold '+' or '#', or begin or end with '/'.");
        faults.Check(
            KeepClosed >= TimeSpan.FromSeconds(1) && KeepClosed <= TimeSpan.FromDays(3653), "keepClosed", $"is {KeepClosed:c}: give 1 s to 10 years, as d.hh:mm:ss.");
        faults.CheckTimeout(Timeout);
        faults.Add(Tls?.Faults(faults.Field("tls")) ?? []);
        return faults.All;
    }
}
