using System.Collections.Concurrent;
using DriftWatch.Gas.Quantities;
using DriftWatch.SamplePlant;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using InventedPlant = DriftWatch.SamplePlant.Plant;
using SampleType = DriftWatch.SamplePlant.VesselType;
using TrendsType = DriftWatch.Trends.Vessels.VesselType;

namespace DriftWatch.Trends.Tests;

/// <summary>A vessel of the invented plant as the chain knows it: specification, recorded charges, readings in order of time.</summary>
internal sealed class SampleVessel
{
    private static readonly ConcurrentDictionary<string, Lazy<SampleVessel>> Made = new(StringComparer.Ordinal);

    private SampleVessel(VesselScript script)
    {
        Script = script;
        Truth = new GasSide(script);
        Specification = SpecificationOf(script);
        Charges = [.. script.Recharges.Where(recharge => recharge.OnRecord).Select(recharge => recharge.At)];
        Readings = [.. VesselRun.Readings(script, InventedPlant.Seed, DateTimeOffset.MinValue, DateTimeOffset.MaxValue).SelectMany(ReadingsOf).Order()];
    }

    public VesselScript Script { get; }

    public GasSide Truth { get; }

    public VesselSpecification Specification { get; }

    public IReadOnlyList<DateTimeOffset> Charges { get; }

    /// <summary>The same as work on the gas side.</summary>
    public IReadOnlyList<GasSideWork> Work => [.. Charges.Select(charge => new GasSideWork(charge, GasSideWorkKind.Charge))];

    public IReadOnlyList<Reading> Readings { get; }

    /// <summary>The vessel with this id; made once.</summary>
    public static SampleVessel Of(string id) => Made.GetOrAdd(
        id, key => new Lazy<SampleVessel>(() => new SampleVessel(InventedPlant.Vessels.Single(script => script.Id == key)))).Value;

    /// <summary>The vessel of a script that is not in the plant: the same with another fault, say.</summary>
    public static SampleVessel With(string id, Func<VesselScript, VesselScript> change) =>
        new(change(InventedPlant.Vessels.Single(script => script.Id == id)));

    private static VesselSpecification SpecificationOf(VesselScript script)
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

    private static PressureSensor SensorOf(Transducer sensor, PressureKind kind) =>
        new(kind, sensor.Low * 1e5, sensor.High * 1e5, sensor.StandardUncertainty * 1e5);

    private static IEnumerable<Reading> ReadingsOf(LoggedReading row)
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
}
