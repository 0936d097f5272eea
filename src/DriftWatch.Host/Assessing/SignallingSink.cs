using DriftWatch.Plant.Readings;

namespace DriftWatch.Host.Assessing;

/// <summary>Commits to the store and wakes the assessment.</summary>
internal sealed class SignallingSink(IReadingSink store, WorkSignal signal) : IReadingSink
{
    public CommittedReadings Commit(
        IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories)
    {
        CommittedReadings committed = store.Commit(readings, quarantined, memories);
        if (readings.Count > 0)
        {
            signal.Set();
        }

        return committed;
    }

    public IReadOnlyList<SourceMemory> Memories() => store.Memories();
}
