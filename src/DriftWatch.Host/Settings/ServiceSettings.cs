using DriftWatch.Plant.Alarms;

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

    /// <summary>A watched folder for logger files; none by default.</summary>
    public DropSettings? Drops { get; init; }

    /// <summary>How long what is kept, and an InfluxDB beside the embedded store.</summary>
    public HistorySettings History { get; init; } = new();

    /// <summary>Where jobs go.</summary>
    public QueueSettings Queue { get; init; } = new();

    /// <summary>How alarms are handled: delays, deadbands, floods, shelving; see [alarms.md](alarms.md).</summary>
    public AlarmHandling Alarms { get; init; } = new();

    /// <summary>The pages and their interface for programs; null for none. Default on 127.0.0.1:8085.</summary>
    public WebSettings? Web { get; init; } = new();

    /// <summary>Where metrics and traces are sent; nowhere by default.</summary>
    public TelemetrySettings Telemetry { get; init; } = new();

    /// <summary>How the log is written.</summary>
    public LogSettings Log { get; init; } = new();

    /// <summary>Unit of pressure for people: bar, kPa, MPa, Pa, psi or kgf/cm2; default bar.</summary>
    public string PressureUnit { get; init; } = "bar";
}
