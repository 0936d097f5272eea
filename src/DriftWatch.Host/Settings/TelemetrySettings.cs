namespace DriftWatch.Host.Settings;

/// <summary>Where metrics and traces are sent; <c>/metrics</c> of the pages gives the metrics without it.</summary>
public sealed record TelemetrySettings
{
    /// <summary>Address of a collector that takes OTLP, such as <c>http://127.0.0.1:4318</c>; none by default, and nothing is sent.</summary>
    public string? OtlpEndpoint { get; init; }

    /// <summary>How OTLP is spoken: <c>http</c> (protobuf; default) or <c>grpc</c>.</summary>
    public string Protocol { get; init; } = "http";

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults()
    {
        IEnumerable<string> address = OtlpEndpoint is null ? [] : WebAddress.Faults(
            "telemetry.otlpEndpoint", OtlpEndpoint, WebAddress.IsWeb, "an http or https address such as http://127.0.0.1:4318", "a collector on the way can give them");
        foreach (string fault in address)
        {
            yield return fault;
        }

        if (Protocol is not ("http" or "grpc"))
        {
            yield return $"telemetry.protocol is '{Protocol}': give \"http\" or \"grpc\".";
        }
    }
}
