using DriftWatch.Trends.Readings;

namespace DriftWatch.Plant.Register;

/// <summary>Where a signal of a vessel comes from and how its numbers are to be read.</summary>
/// <param name="Signal">The signal.</param>
/// <param name="Topic">MQTT topic, without wildcards.</param>
/// <param name="Name">
/// SenML name (resolved, RFC 8428 section 4.6) or the field of a plain JSON object that holds the value; null where
/// the vessel's topic carries only this one signal.
/// </param>
/// <param name="Unit">
/// Unit of the numbers where the payload does not carry one: bar, kPa, MPa, Pa, psi; Cel, degF, K; empty for a contact.
/// </param>
public sealed record SignalSource(Signal Signal, string Topic, string? Name, string Unit);
