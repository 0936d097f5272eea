namespace DriftWatch.Plant.Register;

/// <summary>In which form a topic brings its readings.</summary>
public enum SourceFormat
{
    /// <summary>SenML in JSON or CBOR, plain JSON or a bare number, told apart by the payload itself.</summary>
    Recognised,

    /// <summary>SenML (RFC 8428), in JSON or CBOR.</summary>
    Senml,

    /// <summary>Plain JSON.</summary>
    Json,

    /// <summary>A number as text, and nothing else.</summary>
    Number,

    /// <summary>Sparkplug B (ISO/IEC 20237).</summary>
    SparkplugB,
}
