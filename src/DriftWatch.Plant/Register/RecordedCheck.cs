using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Register;

/// <summary>A check of the precharge by hand that is on record.</summary>
/// <param name="At">When, UTC.</param>
/// <param name="Pressure">Gas pressure found, fluid side released; null when only the fact is on record.</param>
/// <param name="Temperature">Gas temperature at it; null as the pressure is.</param>
public readonly record struct RecordedCheck(DateTimeOffset At, GaugePressure? Pressure, GasTemperature? Temperature)
{
    /// <summary>The precharge found, gauge at the reference temperature; null when only the fact is on record.</summary>
    public GaugePressure? PrechargeOf(VesselSpecification vessel) =>
        Pressure is { } pressure && Temperature is { } temperature
            ? ChargingTarget.PrechargeAtReference(pressure, temperature, vessel.ReferenceTemperature, vessel.Ambient).ToGauge(vessel.Ambient)
            : null;
}
