namespace DriftWatch.Plant.Readings;

/// <summary>Port: where acquired readings become durable.</summary>
public interface IReadingSink
{
    /// <summary>
    /// Commits readings and quarantined messages together. When it returns they survive a crash, and only then may the
    /// sender be told. A reading whose (vessel, signal, instant) is already held changes nothing.
    /// </summary>
    void Commit(IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined);
}
