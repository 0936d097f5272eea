namespace DriftWatch.Acquisition.Mqtt;

/// <summary>How acquisition over MQTT stands.</summary>
public enum SubscriberState
{
    /// <summary>Not running.</summary>
    Stopped,

    /// <summary>No connection; attempts go on.</summary>
    Connecting,

    /// <summary>Connected and subscribed.</summary>
    Receiving,

    /// <summary>Readings cannot be committed; nothing is acknowledged until they can.</summary>
    CommitFailing,
}
