using DriftWatch.Trends.Readings;

namespace DriftWatch.Plant.History;

/// <summary>
/// What waits of one vessel and its readings, both at one moment: what is committed later does not show. A step that
/// names this inbox sequence covers neither more nor less than was read here. Dispose it when the step is done; used by
/// one thread.
/// </summary>
public interface IVesselView : IDisposable
{
    /// <summary>What waits of the vessel; null when nothing does.</summary>
    VesselInbox? Inbox { get; }

    /// <summary>
    /// From when on all raw readings are held, UTC; those before are past their retention. The minimum when none are gone.
    /// </summary>
    DateTimeOffset HeldFrom { get; }

    /// <summary>
    /// Readings with an instant strictly after the one given, in the order of <see cref="Reading.CompareTo"/>,
    /// streamed; one enumeration at a time.
    /// </summary>
    IEnumerable<Reading> ReadingsAfter(DateTimeOffset instant);
}
