using DriftWatch.Gas.Quantities;
using DriftWatch.SamplePlant;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using SampleType = DriftWatch.SamplePlant.VesselType;
using TrendsType = DriftWatch.Trends.Vessels.VesselType;

namespace DriftWatch.Study;

/// <summary>A scripted vessel of the invented plant as the tracker knows it.</summary>
public static class ScriptedVessel
{
    /// <summary>What the register would say of it.</summary>
    public static VesselSpecification SpecificationOf(VesselScript script)
    {
        double nominalPa = (script.NominalBarGauge * 1e5) + script.BarometricPa;
        double allowedPaPerMonth = script.AllowedBarPerMonth * 1e5 ?? script.AllowedPercentPerMonth!.Value / 100 * nominalPa;
        return new VesselSpecification
        {
            Type = script.Type switch
            {
                SampleType.Bladder => TrendsType.Bladder,
                SampleType.Piston => TrendsType.Piston,
                _ => TrendsType.Diaphragm,
            },
            GasVolume = GasVolume.FromCubicMetres(script.GasVolumeLitres / 1000),
            ReferenceTemperature = GasTemperature.FromDegreesCelsius(20),
            NominalPrecharge = GaugePressure.FromPascals(script.NominalBarGauge * 1e5),
            LowerLimit = GaugePressure.FromPascals(script.LowerLimitBarGauge * 1e5),
            UpperLimit = GaugePressure.FromPascals(script.UpperLimitBarGauge * 1e5),
            AllowedLossPaPerSecond = allowedPaPerMonth / LossRate.SecondsPerMonth,
            LowestWorkingPressure = GaugePressure.FromPascals(script.P1BarGauge * 1e5),
            HighestWorkingPressure = GaugePressure.FromPascals(script.P2BarGauge * 1e5),
            Ambient = AbsolutePressure.FromPascals(script.BarometricPa),
            GasPressureSensor = SensorOf(script.PressureSensor, script.AbsolutePressureSensor ? PressureKind.Absolute : PressureKind.Gauge),
            GasTemperatureSensor = new TemperatureSensor(
                script.TemperatureSensor.Low + 273.15, script.TemperatureSensor.High + 273.15, script.TemperatureSensor.StandardUncertainty),
            FluidPressureSensor = script.FluidSensor is { } fluid ? SensorOf(fluid, PressureKind.Gauge) : null,
            HasDepressurisedContact = script.HasReleasedContact,
        };
    }

    /// <summary>The readings of one row of the logger.</summary>
    public static IEnumerable<Reading> ReadingsOf(LoggedReading row)
    {
        yield return new Reading(Signal.GasTemperature, row.Time, row.GasTemperatureC + 273.15);
        yield return new Reading(Signal.GasPressure, row.Time, row.GasPressureBar * 1e5);
        if (row.FluidPressureBarGauge is { } fluid)
        {
            yield return new Reading(Signal.FluidPressure, row.Time, fluid * 1e5);
        }

        if (row.Released is { } released)
        {
            yield return new Reading(Signal.Depressurised, row.Time, released ? 1 : 0);
        }
    }

    private static PressureSensor SensorOf(Transducer sensor, PressureKind kind) =>
        new(kind, sensor.Low * 1e5, sensor.High * 1e5, sensor.StandardUncertainty * 1e5);
}
