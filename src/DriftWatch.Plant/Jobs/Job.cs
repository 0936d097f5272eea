namespace DriftWatch.Plant.Jobs;

/// <summary>
/// A job for the maintenance queue, complete enough to do the work from. Pressures that a technician sets are gauge;
/// each name says its unit.
/// </summary>
public sealed record Job
{
    /// <summary>Stable key: the same vessel, cause and moment give the same key at every replay and retry.</summary>
    public required string Key { get; init; }

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

    /// <summary>What the verdict rests on, a line each.</summary>
    public required IReadOnlyList<string> Evidence { get; init; }

    /// <summary>What to do, in order; with the release of the fluid side first.</summary>
    public required IReadOnlyList<string> Steps { get; init; }

    /// <summary>Gauge pressure to charge to, by gas temperature; empty when no charge is asked for.</summary>
    public required IReadOnlyList<ChargingTargetRow> ChargingTargets { get; init; }

    /// <summary>Nitrogen to bring the vessel from its precharge now to the nominal, kg; null when none is needed or it is not known.</summary>
    public required double? NitrogenKg { get; init; }

    /// <summary>The same in standard litres (0 degrees C, 101.325 kPa).</summary>
    public required double? NitrogenStandardLitres { get; init; }

    /// <summary>The cautions that stand on every job.</summary>
    public required IReadOnlyList<string> Cautions { get; init; }
}
