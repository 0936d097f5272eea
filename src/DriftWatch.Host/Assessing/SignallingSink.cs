using DriftWatch.Plant.Readings;

namespace DriftWatch.Host.Assessing;

/// <summary>Commits to the store and wakes the assessment.</summary>
internal sealed class SignallingSink(IReadingSink store, WorkSignal signal) : IReadingSink
{
    public CommittedReadings Commit(IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined)
    {
        CommittedReadings committed = store.Commit(readings, quarantined);
        if (readings.Count > 0)
        {
            signal.Set();
        }

        return committed;
    }
}
