using DriftWatch.Plant.Readings;

namespace DriftWatch.Host.Commands;

/// <summary>
/// Commits beside a running service and lets it have its turn: who waits for the file looks for it from time to time, and
/// would seldom find it free between the commits of a large import that follow each other at once.
/// </summary>
internal sealed class ConsiderateSink(IReadingSink store) : IReadingSink
{
    private static readonly TimeSpan Turn = TimeSpan.FromMilliseconds(5);

    public CommittedReadings Commit(
        IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories)
    {
        CommittedReadings committed = store.Commit(readings, quarantined, memories);
        Thread.Sleep(Turn);
        return committed;
    }

    public IReadOnlyList<SourceMemory> Memories() => store.Memories();
}
