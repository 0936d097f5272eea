using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.Trends.Tests.Windows;

/// <summary>
/// Why neither a pump start nor the knee of a bleed-down tells trapped fluid: a vessel of 50 litres with 100 bar absolute of
/// nitrogen at 20 degrees C, simulated with its separator, the valve at its fluid port and a pump that presses oil into a stiff line.
/// </summary>
public class TrappedPlateauTests
{
    private const double VolumeM3 = 0.05;
    private const double LineM3 = 0.001;
    private const double OilModulusPa = 1.4e9; // Common practice for mineral oil with a little air.
    private const double StepS = 0.001;
    private static readonly double Amount = VolumeM3 * NitrogenEquation.MolarDensityMolPerM3(293.15, 100e5);

    /// <summary>The line pressure at which the gas began to move, and the gas pressure step by step.</summary>
    private static (double LeftAtPa, List<double> GasPa) PumpStart(double amount, double gasM3, double flowM3PerS, double seconds)
    {
        double plateau = GasPa(amount, gasM3), line = 0, left = double.NaN;
        List<double> gas = [];
        for (int i = 0; i * StepS < seconds; i++)
        {
            if (line < GasPa(amount, gasM3))
            {
                line += OilModulusPa / LineM3 * flowM3PerS * StepS;
            }
            else
            {
                gasM3 -= flowM3PerS * StepS;
                line = GasPa(amount, gasM3);
            }

            gas.Add(GasPa(amount, gasM3));
            if (double.IsNaN(left) && gas[^1] > plateau)
            {
                left = line;
            }
        }

        return (left, gas);
    }

    private static double GasPa(double amount, double gasM3) => NitrogenEquation.PressurePa(293.15, amount / gasM3);

    /// <summary>The pump starts: with and without trapped fluid the gas leaves its plateau when the line reaches the plateau.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(4)]
    [InlineData(10)]
    public void At_a_pump_start_the_gas_leaves_the_plateau_at_the_plateau_whatever_it_is(double trappedLitres)
    {
        double gasM3 = VolumeM3 - (trappedLitres / 1000);
        double plateau = GasPa(Amount, gasM3);
        (double left, _) = PumpStart(Amount, gasM3, 0.0005, 2);

        // One step of the line, 7 bar/ms at this flow, never gets into the gas: what it shows is the plateau, to a step of the gas.
        Assert.Equal(plateau, left, 0.001e5 + (plateau * 0.0005 * StepS / gasM3 * 1.5));

        // Had it shown the precharge, trapped fluid would be told by it. It stands above it by all that the fluid makes.
        Assert.InRange(left - 100e5, 1.5e5 * trappedLitres, (3.5e5 * trappedLitres) + 0.01e5);
    }

    /// <summary>
    /// And the way up tells no more: the trapped vessel's gas side runs just as that of a vessel with no fluid in it, a precharge
    /// as high as the plateau, and a pump of another flow. Nobody registers the flow.
    /// </summary>
    [Theory]
    [InlineData(1)]
    [InlineData(4)]
    [InlineData(10)]
    public void The_way_up_is_that_of_a_higher_precharge_and_another_flow(double trappedLitres)
    {
        double gasM3 = VolumeM3 - (trappedLitres / 1000);
        double plateau = GasPa(Amount, gasM3);
        double higher = VolumeM3 * NitrogenEquation.MolarDensityMolPerM3(293.15, plateau);
        double[] trapped = Moving(PumpStart(Amount, gasM3, 0.0005, 20).GasPa, plateau);
        double[] clean = Moving(PumpStart(higher, VolumeM3, 0.0005 * VolumeM3 / gasM3, 20).GasPa, plateau);
        int both = Math.Min(trapped.Length, clean.Length);
        Assert.True(both > 19_000 && trapped[both - 1] > 1.2 * plateau, "The stroke is too short to tell anything.");
        for (int i = 0; i < both; i++)
        {
            Assert.Equal(clean[i], trapped[i], 1e-6 * clean[i]);
        }
    }

    /// <summary>A valve that is shut with fluid left ends the fall of the gas as sharply as the separator on the port does, and at its plateau.</summary>
    [Theory]
    [InlineData(0)]
    [InlineData(4)]
    public void The_knee_of_a_bleed_down_stands_at_the_plateau_whatever_it_is(double trappedLitres)
    {
        double shutAt = VolumeM3 - (trappedLitres / 1000), gasM3 = 0.03;
        List<double> gas = [];
        for (int i = 0; i < 60_000; i++)
        {
            gasM3 = Math.Min(shutAt, gasM3 + (0.0005 * StepS));
            gas.Add(GasPa(Amount, gasM3));
        }

        // The knee: where the fall, steady to a part in a hundred from step to step until then, ends from one step to the next.
        int knee = Enumerable.Range(1, gas.Count - 2).First(i => gas[i] - gas[i + 1] < 0.5 * (gas[i - 1] - gas[i]));
        double plateau = GasPa(Amount, shutAt);
        Assert.Equal(plateau, gas[knee], plateau * 0.0005 * StepS / shutAt * 1.5);
        Assert.InRange(gas[knee] - 100e5, (1.5e5 * trappedLitres) - 0.01e5, (3.5e5 * trappedLitres) + 0.01e5);
    }

    private static double[] Moving(List<double> gasPa, double plateauPa) => [.. gasPa.SkipWhile(pressure => pressure <= plateauPa * (1 + 1e-12))];
}
