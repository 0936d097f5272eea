using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Delivery.Documents;

/// <summary>The job inside a <see cref="JobDocument"/>.</summary>
public sealed record JobContent
{
    /// <summary>Key of the job, the same in its opening and its closing notice.</summary>
    public required string Key { get; init; }

    /// <summary>Rises with each change of the job, from 1; the greatest stands.</summary>
    public required int Revision { get; init; }

    /// <summary>Open or closed.</summary>
    public required JobState State { get; init; }

    /// <summary>Why it was closed; null while it is open.</summary>
    public required string? ClosedBecause { get; init; }

    /// <summary>How it came to its end; null while it is open.</summary>
    public required JobEnd? ClosedAs { get; init; }

    /// <summary>Why it was written anew; null in a notice that opens or closes it.</summary>
    public required string? RenewedBecause { get; init; }

    /// <summary>Who has taken it on; null for nobody.</summary>
    public required JobMark? Taken { get; init; }

    /// <summary>Who says that it is done, though neither a record nor the data show it yet; null for nobody.</summary>
    public required JobMark? ReportedDone { get; init; }

    /// <summary>How soon it is to be seen to.</summary>
    public required Priority Priority { get; init; }

    /// <summary>The vessel.</summary>
    public required VesselContent Vessel { get; init; }

    /// <summary>Why it was raised.</summary>
    public required JobCause Cause { get; init; }

    /// <summary>The same in one sentence with figures.</summary>
    public required string Reason { get; init; }

    /// <summary>Moment of the data that raised it, UTC.</summary>
    public required DateTimeOffset Raised { get; init; }

    /// <summary>When the work should be done by, UTC.</summary>
    public required DateTimeOffset Due { get; init; }

    /// <summary>Why that date.</summary>
    public required string DueReason { get; init; }

    /// <summary>The latest date that the condition of the vessel allows, UTC.</summary>
    public required DateTimeOffset LatestDue { get; init; }

    /// <summary>The planned stop that it is due at, UTC; null for none.</summary>
    public required DateTimeOffset? PlannedStop { get; init; }

    /// <summary>Id of the trend chart that shows the evidence.</summary>
    public required string ChartId { get; init; }

    /// <summary>Part of the usable fluid volume that is lost, percent; null when not known.</summary>
    public required double? LostUsableVolumePercent { get; init; }

    /// <summary>The same with the precharge at its lower limit, percent; null when not known.</summary>
    public required double? LostUsableVolumeAtLowerLimitPercent { get; init; }

    /// <summary>Best estimate of when the lower limit is reached, UTC; null when it is not foreseen, or lies behind.</summary>
    public required DateTimeOffset? LowerLimitReached { get; init; }

    /// <summary>By when a recharge is recommended, UTC; null when no charge is asked for or no date is foreseen.</summary>
    public required DateTimeOffset? RecommendedRecharge { get; init; }

    /// <summary>What must be isolated and released before anything is touched.</summary>
    public required string Isolation { get; init; }

    /// <summary>What it rests on, a line each.</summary>
    public required IReadOnlyList<string> Evidence { get; init; }

    /// <summary>What to do, in order.</summary>
    public required IReadOnlyList<string> Steps { get; init; }

    /// <summary>Gauge pressure to charge to, by gas temperature; empty when no charge is asked for.</summary>
    public required IReadOnlyList<ChargingTargetRow> ChargingTargets { get; init; }

    /// <summary>How far to fill, how it settles and the bottles it takes; null when no charge is asked for.</summary>
    public required FillingAdvice? Filling { get; init; }

    /// <summary>Nitrogen needed, kg; null when none is or it is not known.</summary>
    public required double? NitrogenKg { get; init; }

    /// <summary>The same in standard litres (0 degrees C, 101.325 kPa).</summary>
    public required double? NitrogenStandardLitres { get; init; }

    /// <summary>Parts and equipment to take along.</summary>
    public required IReadOnlyList<string> Parts { get; init; }

    /// <summary>What to record when it is done.</summary>
    public required IReadOnlyList<string> RecordAfter { get; init; }

    /// <summary>The cautions; never empty.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}
