namespace DriftWatch.Plant.Readings;

/// <summary>Port: where acquired readings become durable.</summary>
public interface IReadingSink
{
    /// <summary>
    /// Commits readings and quarantined messages together. When it returns they survive a crash, and only then may the
    /// sender be told. A reading whose (vessel, signal, instant) is already held changes nothing;
    /// where it is held with another value, a sample is set aside.
    /// </summary>
    CommittedReadings Commit(IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined);
}
