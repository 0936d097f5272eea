using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Sizing;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Prognosis;

/// <summary>
/// Usable fluid volume between p1 and p2 that a precharge takes from the vessel, against its nominal precharge: slow
/// discharge, shell and gas at the reference temperature, real gas.
/// </summary>
/// <param name="Litres">Volume lost, litres; 0 where the precharge gives as much or more.</param>
/// <param name="Share">The same as a share of the nominal usable volume, 0 to 1.</param>
public readonly record struct UsableVolumeLoss(double Litres, double Share)
{
    /// <summary>The loss at a precharge.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="prechargePa">The precharge, Pa absolute at the reference temperature.</param>
    /// <returns>
    /// Null when the register lacks a working pressure, when there is no precharge, and when a pressure lies beyond the equation of state.
    /// </returns>
    public static UsableVolumeLoss? At(VesselSpecification vessel, double prechargePa)
    {
        if (vessel.LowestWorkingPressure is not { } p1 || vessel.HighestWorkingPressure is not { } p2 || !(prechargePa > 0 && prechargePa <= NitrogenRange.HighestPressurePa))
        {
            return null;
        }

        try
        {
            PrechargeConsequence consequence = PrechargeConsequence.Of(
                new PrechargedVessel(vessel.GasVolume, vessel.NominalPrecharge.ToAbsolute(vessel.Ambient), vessel.ReferenceTemperature),
                AbsolutePressure.FromPascals(prechargePa),
                TypeOf(vessel.Type),
                p1.ToAbsolute(vessel.Ambient),
                p2.ToAbsolute(vessel.Ambient),
                vessel.ReferenceTemperature,
                Stroke.Discharge,
                StrokeHeat.Isothermal);
            return new UsableVolumeLoss(Math.Max(0, consequence.LostLitres), Math.Clamp(consequence.LostFraction, 0, 1));
        }
        catch (OutsideNitrogenRangeException)
        {
            // The loss is not known; verdict and job stand all the same.
            return null;
        }
    }

    // The ratio limit of the type is not asked for here; of the two diaphragm types either gives the same volumes.
    private static AccumulatorType TypeOf(VesselType type) => type switch
    {
        VesselType.Bladder => AccumulatorType.Bladder,
        VesselType.Piston => AccumulatorType.Piston,
        _ => AccumulatorType.WeldedDiaphragm,
    };
}
