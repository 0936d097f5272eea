using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Uncertainty;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Windows;

/// <summary>Uncertainty budget of a point (JCGM 100): what is registered of the sensors, common practice for the rest.</summary>
internal sealed class PointBudget
{
    /// <summary>Name of the contributor that tells how far the gas may still have been from equilibrium.</summary>
    public const string Settling = "Settling";

    /// <summary>Name of the contributor that tells by how much the temperature leads astray on the way to the reference temperature.</summary>
    public const string Isochore = "Temperature, leftover slope of the isochore";

    /// <summary>Name of the contributor that tells how well the time of the pressures is known.</summary>
    public const string PressureTime = "Pressure, time of reading";

    /// <summary>Name of the contributor that tells how well the time of the temperatures is known.</summary>
    public const string TemperatureTime = "Temperature, time of reading";

    /// <summary>
    /// Standard uncertainty of the difference between the sensor's and the gas's mean temperature that differs from
    /// window to window (placement, unequal shell), K. Common practice for a shell or gas-valve mounted sensor.
    /// </summary>
    private const double PlacementUncertaintyK = 0.15;

    private readonly VesselSpecification _vessel;
    private readonly ReadingUncertaintyModel _model;

    public PointBudget(VesselSpecification vessel)
    {
        _vessel = vessel;

        // A sensor resolves some 1/4000 of its span (12 bit). Readings of a resting gas stand on one step, so it does not average out.
        ResolutionPa = (vessel.GasPressureSensor.RangeHighPa - vessel.GasPressureSensor.RangeLowPa) / 4000;
        _model = new ReadingUncertaintyModel
        {
            PressureOffsetPa = InputUncertainty.FromStandard(vessel.GasPressureSensor.StandardUncertaintyPa),
            PressureResolutionPa = InputUncertainty.FromResolution(ResolutionPa),
            TemperatureOffsetK = InputUncertainty.FromStandard(vessel.GasTemperatureSensor.StandardUncertaintyK),
            TemperaturePlacementChangeK = InputUncertainty.FromStandard(PlacementUncertaintyK),
            WeatherPa = ReadingUncertaintyModel.CommonWeatherPa,
        };
    }

    /// <summary>Step of the pressure reading, Pa.</summary>
    public double ResolutionPa { get; }

    /// <summary>Budget of the pressure at the reference temperature, Pa.</summary>
    /// <param name="pressurePa">Mean gas pressure, Pa absolute.</param>
    /// <param name="temperatureK">Mean gas temperature, K.</param>
    /// <param name="readingsPa">Standard uncertainty of the mean pressure from the scatter of its readings, Pa.</param>
    /// <param name="rateKPerS">Mean rate of the temperature, K/s.</param>
    /// <param name="ratePaPerS">Mean rate of the pressure, Pa/s.</param>
    /// <param name="lagUncertaintyS">Standard uncertainty of the sensor's lag, s.</param>
    /// <param name="settlingPa">Standard uncertainty of what was left to settle, Pa at the reference temperature.</param>
    /// <param name="leftoverPaPerK">Slope of the normalised pressure against temperature beyond its own uncertainty, 0 or more, Pa/K.</param>
    public UncertaintyBudget Of(
        double pressurePa, double temperatureK, double readingsPa, double rateKPerS, double ratePaPerS, double lagUncertaintyS, double settlingPa, double leftoverPaPerK)
    {
        ReadingUncertaintyModel model = _model with
        {
            PressureNoisePa = InputUncertainty.FromStandard(readingsPa),
            TemperatureLagS = InputUncertainty.FromStandard(lagUncertaintyS),
        };
        AbsolutePressure pressure = AbsolutePressure.FromPascals(pressurePa);
        GasTemperature temperature = GasTemperature.FromKelvins(temperatureK);
        UncertaintyBudget budget = _vessel.GasPressureSensor.Kind == PressureKind.Gauge
            ? ReadingUncertainty.OfPressureAtReference(
                GaugePressure.FromPascals(pressurePa - _vessel.Ambient.Pascals), _vessel.Ambient, temperature, rateKPerS, _vessel.ReferenceTemperature, model)
            : ReadingUncertainty.OfPressureAtReference(pressure, temperature, rateKPerS, _vessel.ReferenceTemperature, model);
        UncertaintyContributor[] more =
        [
            new(Settling, 1, InputUncertainty.FromStandard(settlingPa), "Pa", Sharing.Random),
            new(Isochore, leftoverPaPerK, InputUncertainty.FromStandard(Math.Abs(temperatureK - _vessel.ReferenceTemperature.Kelvins)), "K", Sharing.Random),
            .. OfTimes(pressurePa, temperatureK, rateKPerS, ratePaPerS),
        ];
        return new UncertaintyBudget(budget.Estimate, budget.Unit, [.. budget.Contributors, .. more.Where(line => line.StandardUncertaintyOfResult > 0)]);
    }

    /// <summary>
    /// A reading that was true up to its lateness before the instant it bears, no moment likelier than another, errs by its
    /// drift over that time: a mean square of the lateness squared over three, as nothing is taken off for it. That pressure
    /// and temperature may come late together, which does less harm, is not counted on.
    /// </summary>
    private IEnumerable<UncertaintyContributor> OfTimes(double pressurePa, double temperatureK, double rateKPerS, double ratePaPerS)
    {
        if (_vessel.PressureLateness == TimeSpan.Zero && _vessel.TemperatureLateness == TimeSpan.Zero)
        {
            return [];
        }

        IsochoricSensitivity at = IsochoricSensitivity.At(pressurePa, temperatureK, _vessel.ReferenceTemperature.Kelvins);
        return
        [
            Line(PressureTime, at.AtReferenceByPressurePaPerPa * ratePaPerS, _vessel.PressureLateness),
            Line(TemperatureTime, at.AtReferenceByTemperaturePaPerK * rateKPerS, _vessel.TemperatureLateness),
        ];

        static UncertaintyContributor Line(string name, double driftPaPerS, TimeSpan lateness) =>
            new(name, driftPaPerS, InputUncertainty.FromStandard(lateness.TotalSeconds / Math.Sqrt(3)), "s", Sharing.Random);
    }
}
