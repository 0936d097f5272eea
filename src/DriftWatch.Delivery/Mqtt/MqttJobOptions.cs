using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Mqtt;

/// <summary>Settings of the MQTT channel.</summary>
public sealed record MqttJobOptions : ServerOptions
{
    /// <summary>The defaults.</summary>
    public MqttJobOptions()
        : base("mqtt", 1883)
    {
        Timeout = TimeSpan.FromSeconds(10);
    }

    /// <summary>Version of MQTT: 5 or 3.1.1. Default 5.</summary>
    public string Version { get; init; } = "5";

    /// <summary>Client identifier; unique at the broker. Default: driftwatch-jobs.</summary>
    public string ClientId { get; init; } = "driftwatch-jobs";

    /// <summary>What the topics begin with, without a slash at its ends. Default: driftwatch.</summary>
    public string TopicPrefix { get; init; } = "driftwatch";

    /// <summary>
    /// How long the broker keeps the last word on a job that is closed (MQTT 5 message expiry); 1 s to 10 years. Default
    /// 30 days. The word on an open job does not expire: whoever subscribes must find it.
    /// </summary>
    public TimeSpan KeepClosed { get; init; } = TimeSpan.FromDays(30);

    private protected override void CheckOwn(FaultList faults)
    {
        faults.Check(Version is "5" or "3.1.1", "version", $"is '{Version}': give \"5\" or \"3.1.1\".");
        faults.Check(!string.IsNullOrWhiteSpace(ClientId), "clientId", $"is empty: the broker knows this side by it.");
        faults.Check(
            !string.IsNullOrEmpty(TopicPrefix) && !TopicPrefix.AsSpan().ContainsAny("+#\0") && !TopicPrefix.StartsWith('/') && !TopicPrefix.EndsWith('/'),
            "topicPrefix", $"is '{TopicPrefix}': it must not be empty, hold '+' or '#', or begin or end with '/'.");
        faults.Check(
            KeepClosed >= TimeSpan.FromSeconds(1) && KeepClosed <= TimeSpan.FromDays(3653), "keepClosed", $"is {KeepClosed:c}: give 1 s to 10 years, as d.hh:mm:ss.");
    }
}
