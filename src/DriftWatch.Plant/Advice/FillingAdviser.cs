using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Charging;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Advice;

/// <summary>Tells how far to fill, how it settles and how many bottles it takes.</summary>
internal static class FillingAdviser
{
    /// <summary>Common bottles: 50 litres at 200 or 300 bar gauge and 15 degrees C (common practice).</summary>
    private static readonly double[] BottleBarGauge = [200, 300];
    private static readonly double BottleLitres = GasBottles.Common.Volume.Litres;

    /// <summary>A filling as slow as that shows little more than what it settles at (common practice: some ten minutes and more).</summary>
    private static readonly TimeSpan SlowFilling = TimeSpan.FromMinutes(15);

    /// <summary>The advice; null when the precharge now is not known or not below the nominal.</summary>
    public static FillingAdvice? For(VesselSpecification vessel, Assessment now)
    {
        AbsolutePressure nominal = vessel.NominalPrecharge.ToAbsolute(vessel.Ambient);
        if (now.PrechargePa is not { } level || !(level < nominal.Pascals))
        {
            return null;
        }

        // A vessel that is open or empty of gas holds ambient pressure.
        var space = new GasSpace(
            vessel.GasVolume, AbsolutePressure.FromPascals(Math.Max(level, vessel.Ambient.Pascals)), vessel.ReferenceTemperature);
        foreach (double bar in BottleBarGauge)
        {
            var bottle = new GasSpace(
                GasBottles.Common.Volume, GaugePressure.FromBar(bar).ToAbsolute(vessel.Ambient), GasBottles.MarkedAt);
            CascadeOutcome outcome = BottleCascade.WithFreshBottles(space, bottle, nominal);
            if (outcome.IsReached)
            {
                GaugePressure? highest = HighestAtEnd(space, bottle, outcome.Uses.Count, nominal)?.ToGauge(vessel.Ambient);

                // What the vessel bears above its highest working pressure is not known here.
                return Advice(vessel, bar, outcome.Uses.Count, highest?.Pascals > vessel.HighestWorkingPressure?.Pascals ? null : highest);
            }
        }

        return Advice(vessel, BottleBarGauge[^1], null, null);
    }

    /// <summary>Of the filling at once, or of a slow one where that shows more; null where the bottles run too cold at once.</summary>
    private static AbsolutePressure? HighestAtEnd(GasSpace space, GasSpace bottle, int count, AbsolutePressure nominal) =>
        FillingEnd.Of(space, bottle, count, nominal, TimeSpan.Zero) is { } atOnce
            ? FillingEnd.Greater(atOnce, FillingEnd.Of(space, bottle, count, nominal, SlowFilling))
            : null;

    private static FillingAdvice Advice(VesselSpecification vessel, double bar, int? bottles, GaugePressure? highest)
    {
        var advice = new FillingAdvice(
            vessel.ReferenceTemperature.DegreesCelsius, JobWriter.FinerThanShown(vessel.NominalPrecharge),
            highest is { } shown ? JobWriter.FinerThanShown(shown) : null, BottleLitres, bar, bottles, []);
        return advice with { Words = FillingWords.Of(advice, PressureUnit.Bar) };
    }
}
