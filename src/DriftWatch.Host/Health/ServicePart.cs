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

    /// <summary>The settings file, changed while the service runs.</summary>
    public const string Settings = "settings";

    /// <summary>The register file, changed by hand or on the pages.</summary>
    public const string Register = "register";

    /// <summary>Alarms: announced in the log, handed to their channels.</summary>
    public const string Alarms = "alarms";

    /// <summary>The trend charts in their folder.</summary>
    public const string Charts = "charts";

    /// <summary>The answers of maintenance queues over their brokers.</summary>
    public const string Answers = "answers";

    /// <summary>The pages and their certificate.</summary>
    public const string Pages = "pages";

    /// <summary>The sign-in by a provider.</summary>
    public const string SignIn = "sign-in";

    /// <summary>The history in InfluxDB.</summary>
    public const string Influx = "influxdb";

    /// <summary>Delivery to a maintenance queue.</summary>
    public static string Queue(string channel) => "queue:" + channel;
}
