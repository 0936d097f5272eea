using DriftWatch.Trends.Readings;

namespace DriftWatch.Plant.Register;

/// <summary>Where a signal of a vessel comes from and how its numbers are to be read.</summary>
/// <param name="Signal">The signal.</param>
/// <param name="Topic">
/// MQTT topic, without wildcards; of Sparkplug B the topic without its message type: <c>spBv1.0/group/node/device</c>.
/// </param>
/// <param name="Name">
/// SenML name (resolved, RFC 8428 section 4.6), field of a plain JSON object, or Sparkplug metric; null where the vessel's
/// topic carries only this one signal, or a pointer says where it stands.
/// </param>
/// <param name="Unit">
/// Unit of the numbers where the payload does not carry one: bar, kPa, MPa, Pa, psi; Cel, degF, K; empty for a contact.
/// </param>
public sealed record SignalSource(Signal Signal, string Topic, string? Name, string Unit)
{
    /// <summary>In which form the topic brings it.</summary>
    public SourceFormat Format { get; init; }

    /// <summary>Where the value stands in plain JSON; null where <see cref="Name"/> says it.</summary>
    public JsonPointer? Value { get; init; }

    /// <summary>Where the time stands in plain JSON; null for the usual field.</summary>
    public JsonPointer? Time { get; init; }

    /// <summary>Where the list of records stands in plain JSON, from which the other two pointers start; null where there is none.</summary>
    public JsonPointer? Records { get; init; }

    /// <summary>How the time is written.</summary>
    public SourceTime TimeFormat { get; init; }

    /// <summary>
    /// By how much a reading may be older than the arrival of its message, where the arrival is its time; null where the
    /// source sends the time.
    /// </summary>
    public TimeSpan? ArrivalUncertainty { get; init; }

    /// <summary>Whether plain JSON is mapped by the pointers and times above, and not by field names alone.</summary>
    public bool IsMapped => Value is not null || Time is not null || Records is not null || TimeFormat != SourceTime.Recognised;
}
