namespace DriftWatch.Acquisition.Mqtt;

/// <summary>Version of MQTT.</summary>
public enum MqttVersion
{
    /// <summary>MQTT 5.0 (OASIS standard, 2019).</summary>
    V5,

    /// <summary>MQTT 3.1.1 (ISO/IEC 20922).</summary>
    V311,
}
