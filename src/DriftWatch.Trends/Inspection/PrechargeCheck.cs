using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Inspection;

/// <summary>
/// A moment at which the precharge was seen, fluid side isolated and released: by hand at a check, what a charge left, or a
/// window that counts as a check.
/// </summary>
/// <param name="At">When, UTC.</param>
/// <param name="Pressure">Gas pressure found; null when only the fact is on record.</param>
/// <param name="Temperature">Gas temperature at it; null as the pressure is.</param>
public readonly record struct PrechargeCheck(DateTimeOffset At, GaugePressure? Pressure = null, GasTemperature? Temperature = null)
{
    /// <summary>Which gauge it was read with; empty where that is not on record.</summary>
    public string GaugeId { get => field ?? ""; init; } = "";

    /// <summary>Which transducer in turn saw it, from 1 on; 0 for a reading by hand.</summary>
    public int Transducer { get; init; }

    /// <summary>
    /// How far two readings by hand may lie apart without a loss, as a share of the nominal precharge. From memory: the limit
    /// of error of a gauge of class 1 is 1 % of its range.
    /// </summary>
    public const double DoubtShare = 0.01;

    /// <summary>The precharge found, gauge at the vessel's reference temperature; null when only the fact is on record.</summary>
    /// <exception cref="ArgumentOutOfRangeException">Pressure and temperature lie outside the range of the nitrogen equation.</exception>
    public GaugePressure? PrechargeOf(VesselSpecification vessel) =>
        Pressure is { } pressure && Temperature is { } temperature
            ? ChargingTarget.PrechargeAtReference(pressure, temperature, vessel.ReferenceTemperature, vessel.Ambient).ToGauge(vessel.Ambient)
            : null;

    /// <summary>
    /// Whether it shows a loss that the vessel's limits do not let pass: a precharge below the lower limit, or one further
    /// below what was seen before than the allowed rate explains. A check without values shows none.
    /// </summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="before">What it is held against, seen by the same means: what the last charge left, or the first check since.</param>
    public bool FindsLoss(VesselSpecification vessel, PrechargeCheck before)
    {
        if (PrechargeOf(vessel) is not { } found)
        {
            return false;
        }

        double allowed = (vessel.AllowedLossPaPerSecond * (At - before.At).TotalSeconds) + (DoubtShare * vessel.NominalPrecharge.Pascals);
        return found.Pascals < vessel.LowerLimit.Pascals
            || (before.PrechargeOf(vessel) is { } left && left.Pascals - found.Pascals > allowed);
    }
}
