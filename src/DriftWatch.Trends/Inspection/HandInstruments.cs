using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Uncertainty;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Inspection;

/// <summary>How well a charging unit's gauge and a thermometer show the precharge.</summary>
/// <param name="GaugeLimitShare">Limit of error of the gauge as a share of its range; shared by all its readings.</param>
/// <param name="RangeOfNominal">Range of the gauge in nominal precharges.</param>
/// <param name="DivisionShare">Half of what can be read off, as a share of its range; new with each reading.</param>
/// <param name="ThermometerLimitK">Limit of error of the thermometer, K; shared.</param>
/// <param name="ShellLimitK">How far the shell may be from the gas inside, K; new with each reading.</param>
public sealed record HandInstruments(
    double GaugeLimitShare, double RangeOfNominal, double DivisionShare, double ThermometerLimitK, double ShellLimitK)
{
    /// <summary>
    /// Where nothing better is known. From memory: the limit of error of a gauge of class 1 is 1 % of its range, and a gauge is
    /// chosen so that it is read in its middle. Common practice: the shell follows the gas to 2 K once it has settled.
    /// </summary>
    public static HandInstruments Common { get; } = new(0.01, 1.6, 0.0025, 1, 2);

    /// <summary>
    /// Budget of the precharge behind a reading, Pa absolute at the reference temperature: the shared part is that of gauge and
    /// thermometer, the random part is new with each reading.
    /// </summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="pressure">Gauge pressure read, fluid side released.</param>
    /// <param name="temperature">Gas temperature read, 233 to 373.15 K.</param>
    /// <exception cref="ArgumentOutOfRangeException">Outside the nitrogen range.</exception>
    public UncertaintyBudget Budget(VesselSpecification vessel, GaugePressure pressure, GasTemperature temperature)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        double rangePa = RangeOfNominal * vessel.NominalPrecharge.Pascals;
        return ReadingUncertainty.OfPressureAtReference(pressure, vessel.Ambient, temperature, 0, vessel.ReferenceTemperature, new ReadingUncertaintyModel
        {
            PressureOffsetPa = InputUncertainty.FromLimits(GaugeLimitShare * rangePa),
            PressureResolutionPa = InputUncertainty.FromLimits(DivisionShare * rangePa),
            TemperatureOffsetK = InputUncertainty.FromLimits(ThermometerLimitK),
            TemperaturePlacementChangeK = InputUncertainty.FromLimits(ShellLimitK),
            WeatherPa = ReadingUncertaintyModel.CommonWeatherPa,
        });
    }
}
