using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Sizing;

/// <summary>What the precharge found now means for the work of the vessel.</summary>
public sealed record PrechargeConsequence
{
    private PrechargeConsequence(GasVolume nominal, GasVolume now, double ratioNow, double? ratioLimit, double workingRatioNow)
    {
        NominalUsableVolume = nominal;
        UsableVolumeNow = now;
        RatioNow = ratioNow;
        RatioLimit = ratioLimit;
        LowestOverPrechargeNow = workingRatioNow;
    }

    /// <summary>Usable fluid volume with the nominal precharge.</summary>
    public GasVolume NominalUsableVolume { get; }

    /// <summary>Usable fluid volume with the precharge as it is.</summary>
    public GasVolume UsableVolumeNow { get; }

    /// <summary>Usable fluid volume lost, litres; below 0 where the present precharge gives more.</summary>
    public double LostLitres => NominalUsableVolume.Litres - UsableVolumeNow.Litres;

    /// <summary>Lost part of the nominal usable volume, a fraction; 0 where there was none.</summary>
    public double LostFraction => NominalUsableVolume.Litres > 0 ? LostLitres / NominalUsableVolume.Litres : 0;

    /// <summary>p2 over the present precharge at the gas temperature, both absolute, a pure number.</summary>
    public double RatioNow { get; }

    /// <summary>What the type bears by common practice, a pure number; null for any.</summary>
    public double? RatioLimit { get; }

    /// <summary>Whether the separator is stretched or packed no further than its type bears.</summary>
    public bool IsWithinRatioLimit => RatioLimit is not { } limit || RatioNow <= limit;

    /// <summary>
    /// p1 over the present precharge at the gas temperature, both absolute, a pure number; common practice keeps it at 1.1 or above, so
    /// that the separator does not strike the fluid port.
    /// </summary>
    public double LowestOverPrechargeNow { get; }

    /// <summary>Compares the precharge now with the nominal one, in the same stroke.</summary>
    /// <param name="nominal">The vessel with its nominal precharge.</param>
    /// <param name="prechargeNow">Precharge found, absolute, at the same reference temperature, above 0 to 70 MPa.</param>
    /// <param name="type">Type of the accumulator.</param>
    /// <param name="lowest">p1, lowest working pressure, absolute, above 0.</param>
    /// <param name="highest">p2, highest working pressure, absolute, not below p1, to 70 MPa.</param>
    /// <param name="gasTemperature">Temperature of shell and settled gas, 233 to 373.15 K.</param>
    /// <param name="stroke">Direction of the stroke.</param>
    /// <param name="heat">Heat exchange during the stroke.</param>
    /// <exception cref="ArgumentOutOfRangeException">No gas volume, no precharge, or a range turned round.</exception>
    /// <exception cref="OutsideNitrogenRangeException">
    /// A pressure or temperature outside the nitrogen range, or an expansion to below 126.192 K, where nitrogen may condense.
    /// </exception>
    public static PrechargeConsequence Of(
        PrechargedVessel nominal,
        AbsolutePressure prechargeNow,
        AccumulatorType type,
        AbsolutePressure lowest,
        AbsolutePressure highest,
        GasTemperature gasTemperature,
        Stroke stroke,
        StrokeHeat heat)
    {
        PrechargedVessel present = nominal with { PrechargeAtReference = prechargeNow };
        GasVolume before = UsableVolume.Of(nominal, lowest, highest, gasTemperature, stroke, heat);
        GasVolume now = UsableVolume.Of(present, lowest, highest, gasTemperature, stroke, heat);
        double atTemperature = IsochoricCorrection.PressureAtReferencePa(
            prechargeNow.Pascals, nominal.Reference.Kelvins, gasTemperature.Kelvins);
        return new PrechargeConsequence(
            before, now, highest.Pascals / atTemperature, PressureRatioLimit.Highest(type), lowest.Pascals / atTemperature);
    }
}
