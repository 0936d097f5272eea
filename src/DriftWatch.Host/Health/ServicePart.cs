namespace DriftWatch.Host.Health;

/// <summary>The parts of the service whose health is told.</summary>
public static class ServicePart
{
    /// <summary>The embedded store.</summary>
    public const string Store = "store";

    /// <summary>The broker inside the service, or the subscription to one outside.</summary>
    public const string Acquisition = "acquisition";

    /// <summary>The assessment of vessels.</summary>
    public const string Assessment = "assessment";

    /// <summary>The watched folder for logger files.</summary>
    public const string Drops = "drops";

    /// <summary>The history in InfluxDB.</summary>
    public const string Influx = "influxdb";

    /// <summary>Delivery to a maintenance queue.</summary>
    public static string Queue(string channel) => "queue:" + channel;
}
