namespace DriftWatch.Host.Settings;

/// <summary>The maintenance queues that jobs are delivered to.</summary>
public sealed record QueueSettings
{
    /// <summary>Folder of the file queue, one JSON document a notice; default <c>queue</c>.</summary>
    public string Folder { get; init; } = "queue";

    /// <summary>An MQTT broker that jobs are published to; none by default.</summary>
    public MqttQueueSettings? Mqtt { get; init; }
}
