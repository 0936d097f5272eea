using DriftWatch.Plant.Priorities;

namespace DriftWatch.Plant.Jobs;

/// <summary>
/// A job for the maintenance queue, complete enough to do the work from. Pressures that a technician sets are gauge;
/// each name says its unit.
/// </summary>
public sealed record Job
{
    /// <summary>Stable key: the same vessel, cause and moment give the same key at every replay and retry.</summary>
    public required string Key { get; init; }

    /// <summary>Counts what the queue is told of the job, from 1; the greatest stands.</summary>
    public int Revision { get; init; } = 1;

    /// <summary>How soon it is to be seen to.</summary>
    public Priority Priority { get; init; }

    /// <summary>Who has taken it on; null for nobody.</summary>
    public JobMark? Taken { get; init; }

    /// <summary>Who says that it is done, though neither a record nor the data show it yet; null for nobody.</summary>
    public JobMark? ReportedDone { get; init; }

    /// <summary>The vessel's id, description and place.</summary>
    public required string VesselId { get; init; }

    /// <inheritdoc cref="VesselId"/>
    public required string VesselDescription { get; init; }

    /// <inheritdoc cref="VesselId"/>
    public required string VesselPlace { get; init; }

    /// <summary>Why.</summary>
    public required JobCause Cause { get; init; }

    /// <summary>The verdict's reason in one sentence.</summary>
    public required string Reason { get; init; }

    /// <summary>The moment of the data that raised it, UTC.</summary>
    public required DateTimeOffset Raised { get; init; }

    /// <summary>When the work should be done by, UTC.</summary>
    public required DateTimeOffset Due { get; init; }

    /// <summary>Why that date.</summary>
    public required string DueReason { get; init; }

    /// <summary>The latest date that the condition of the vessel allows, UTC; null when not said.</summary>
    public DateTimeOffset? LatestDue { get; init; }

    /// <summary>The planned stop that it is due at, UTC; null for none.</summary>
    public DateTimeOffset? PlannedStop { get; init; }

    /// <summary>Id of the trend chart that shows the evidence: charts are named by it.</summary>
    public string ChartId { get; init; } = "";

    /// <summary>Share of the usable fluid volume that is lost, 0 to 1; null when not known.</summary>
    public double? LostUsableShare { get; init; }

    /// <summary>The same with the precharge at its lower limit; null when not known.</summary>
    public double? LostUsableShareAtLowerLimit { get; init; }

    /// <summary>Best estimate of when the lower limit is reached, UTC; null when it is not foreseen, or lies behind.</summary>
    public DateTimeOffset? LowerLimitReached { get; init; }

    /// <summary>By when a recharge is recommended (<see cref="Trends.Prognosis.RechargeDate"/>), UTC; null when no charge is asked for or no date is foreseen.</summary>
    public DateTimeOffset? RecommendedRecharge { get; init; }

    /// <summary>What must be isolated and released before anything is touched.</summary>
    public string Isolation { get; init; } = "";

    /// <summary>What the verdict rests on, a line each.</summary>
    public required IReadOnlyList<string> Evidence { get; init; }

    /// <summary>What to do, in order; with the release of the fluid side first.</summary>
    public required IReadOnlyList<string> Steps { get; init; }

    /// <summary>Gauge pressure to charge to, by gas temperature; empty when no charge is asked for.</summary>
    public required IReadOnlyList<ChargingTargetRow> ChargingTargets { get; init; }

    /// <summary>How far to fill above the target and how long to let it settle; null when no charge is asked for.</summary>
    public FillingAdvice? Filling { get; init; }

    /// <summary>Nitrogen to bring the vessel from its precharge now to the nominal, kg; null when none is needed or it is not known.</summary>
    public required double? NitrogenKg { get; init; }

    /// <summary>The same in standard litres (0 degrees C, 101.325 kPa).</summary>
    public required double? NitrogenStandardLitres { get; init; }

    /// <summary>Parts and equipment to take along.</summary>
    public IReadOnlyList<string> Parts { get; init; } = [];

    /// <summary>What to record when it is done.</summary>
    public IReadOnlyList<string> RecordAfter { get; init; } = [];

    /// <summary>The cautions that stand on every job.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}
