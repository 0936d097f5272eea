namespace DriftWatch.Plant.Readings;

/// <summary>Port: where acquired readings become durable.</summary>
public interface IReadingSink
{
    /// <summary>
    /// Commits readings and quarantined messages together. When it returns they survive a crash, and only then may the
    /// sender be told. A reading whose (vessel, signal, instant) is already held changes nothing;
    /// where it is held with another value, a sample is set aside.
    /// </summary>
    /// <param name="readings">The readings.</param>
    /// <param name="quarantined">What was set aside.</param>
    /// <param name="memories">What was learnt of sources, one for each.</param>
    CommittedReadings Commit(
        IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories);

    /// <summary>Commits readings and quarantined messages of which nothing has to be remembered.</summary>
    CommittedReadings Commit(IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined) =>
        Commit(readings, quarantined, []);

    /// <summary>All that is remembered of sources, by the last commit.</summary>
    IReadOnlyList<SourceMemory> Memories();
}
