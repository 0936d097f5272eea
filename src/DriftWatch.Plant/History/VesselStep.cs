using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.History;

/// <summary>What one step of a vessel's assessment changes in the store, all of it or nothing.</summary>
public sealed record VesselStep
{
    /// <summary>The vessel.</summary>
    public required string VesselId { get; init; }

    /// <summary>Inbox sequence up to which readings have now been taken in.</summary>
    public required long InboxSequence { get; init; }

    /// <summary>Set when late readings or a changed record made the step start from an earlier state: what is dropped before anything is written.</summary>
    public Rewind? Rewind { get; init; }

    /// <summary>What the state rests on beside the readings from now on; null for what it rested on before.</summary>
    public VesselBasis? Basis { get; init; }

    /// <summary>Windows that are new or whose standing changed.</summary>
    public required IReadOnlyList<PrechargeWindow> Windows { get; init; }

    /// <summary>The assessment now.</summary>
    public required Assessment Assessment { get; init; }

    /// <summary>Job notices to put into the outbox.</summary>
    public required IReadOnlyList<JobNotice> Notices { get; init; }

    /// <summary>What happened to the alarms; with a rewind, those after its checkpoint instant are void before.</summary>
    public IReadOnlyList<AlarmChange> AlarmChanges { get; init; } = [];

    /// <summary>The state to go on from.</summary>
    public required VesselCheckpoint Checkpoint { get; init; }
}
