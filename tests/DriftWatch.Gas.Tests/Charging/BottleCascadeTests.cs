using CsCheck;
using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Tests.Charging;

public class BottleCascadeTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);

    /// <summary>Boyle's law for thin gas: two equal spaces meet at the mean, and each further bottle halves the gap.</summary>
    [Fact]
    public void Thin_gas_meets_by_Boyles_law()
    {
        CascadeOutcome outcome = BottleCascade.Fill(
            Thin(0), [Thin(1_000), Thin(1_000), Thin(1_000)], AbsolutePressure.FromPascals(950));
        Assert.Equal([500, 750, 875], outcome.Uses.Select(use => Math.Round(use.VesselAfter.Pressure.Pascals, 1)));
        Assert.Equal([500, 750, 875], outcome.Uses.Select(use => Math.Round(use.After.Pressure.Pascals, 1)));
        Assert.False(outcome.IsReached);
        Assert.Contains("can't be reached without a booster", outcome.Summary, StringComparison.Ordinal);

        static GasSpace Thin(double pascals) => new(GasVolume.FromLitres(10), AbsolutePressure.FromPascals(pascals), Twenty);
    }

    /// <summary>Reference densities at 293.15 K: 3698.493889 mol/m3 at 9 MPa, 5655.684407 at 14 MPa, 8133.832403 at 21 MPa.</summary>
    [Fact]
    public void Real_gas_meets_at_the_mean_density()
    {
        GasSpace vessel = Space(50, 90);
        CascadeOutcome outcome = BottleCascade.Fill(vessel, [Space(50, 210)], AbsolutePressure.FromBar(200));
        double mean = (3698.493889 + 8133.832403) / 2;
        Assert.Equal(mean, outcome.Vessel.MolarDensityMolPerM3, 2e-6 * mean);
        Assert.Equal((mean - 3698.493889) * 0.05, outcome.Delivered.Moles, 1e-3);

        // Boyle's law would say 150 bar; the real gas, stiffer at 210 bar, is well below.
        Assert.InRange(outcome.Vessel.Pressure.Bar, 140, 149);
    }

    [Fact]
    public void The_emptiest_bottle_goes_first_and_the_last_gives_only_what_is_needed()
    {
        GasSpace vessel = Space(20, 10);
        CascadeOutcome outcome = BottleCascade.Fill(
            vessel, [Space(50, 200), Space(50, 8), Space(50, 60), Space(50, 120)], AbsolutePressure.FromBar(95));
        Assert.True(outcome.IsReached);
        Assert.Equal([60, 120], outcome.Uses.Select(use => Math.Round(use.Before.Pressure.Bar, 6)));
        Assert.Equal(95, outcome.Vessel.Pressure.Bar);
        Assert.InRange(outcome.Uses[1].After.Pressure.Bar, 95, 120);
        Assert.Contains("2 bottle(s)", outcome.Summary, StringComparison.Ordinal);

        // Using the 200 bar bottle alone would have emptied it further than the cascade empties any.
        Assert.True(BottleCascade.Fill(vessel, [Space(50, 200)], AbsolutePressure.FromBar(95)).Uses[0].Delivered.Moles
            > outcome.Uses.Max(use => use.Delivered.Moles));
    }

    [Fact]
    public void Gas_is_kept_and_no_bottle_ends_below_the_vessel() => Gen.Select(
        Gen.Double[5, 200], Gen.Double[1, 80], Gen.Double[10, 50].Array[1, 6], Gen.Double[80, 300]).Sample((litres, bar, bottles, target) =>
        {
            GasSpace vessel = Space(litres, bar);
            GasSpace[] set = [.. bottles.Select(b => Space(50, b * 5))];
            CascadeOutcome outcome = BottleCascade.Fill(vessel, set, AbsolutePressure.FromBar(target));
            double gained = outcome.Vessel.Content.Moles - vessel.Content.Moles;
            Assert.Equal(gained, outcome.Delivered.Moles, 1e-9 * outcome.Vessel.Content.Moles);
            Assert.All(outcome.Uses, use =>
            {
                Assert.Equal(use.Before.Content.Moles - use.After.Content.Moles, use.Delivered.Moles, 1e-9 * use.Before.Content.Moles);
                Assert.True(use.After.Pressure.Pascals >= use.VesselAfter.Pressure.Pascals * (1 - 1e-9));
            });
            Assert.Equal(outcome.IsReached, outcome.Vessel.Pressure.Bar >= target - 1e-9);
        });

    /// <summary>The bottle's pressure goes through its content to the vessel's temperature and may come back a rounding higher.</summary>
    [Theory]
    [InlineData(76.64030424602112, 168.161944558644, new[] { 11, 15, 22, 23, 34.513015623358605, 31.678571428571427 })]
    [InlineData(171, 89.20702055190728, new[] { 10.73858356188003, 36, 15, 18 })]
    public void A_bottle_at_the_pressure_of_the_vessel_gives_nothing(double litres, double targetBar, double[] fifthsOfBar)
    {
        CascadeOutcome outcome = BottleCascade.Fill(
            Space(litres, 75), [.. fifthsOfBar.Select(b => Space(50, b * 5))], AbsolutePressure.FromBar(targetBar));
        Assert.All(outcome.Uses, use => Assert.True(use.Delivered.Moles > 0));
        Assert.DoesNotContain(outcome.Uses, use => Math.Abs(use.Before.Pressure.Bar - 75) < 1e-6);
    }

    [Fact]
    public void Counts_fresh_bottles_and_says_when_it_takes_a_booster()
    {
        CascadeOutcome many = BottleCascade.WithFreshBottles(Space(100, 1), Space(50, 200), AbsolutePressure.FromBar(180));
        Assert.True(many.IsReached);

        // Second route by the ideal gas: each 50 litre bottle takes a third of the gap to 200 bar, 20 of 199 bar are left after
        // ln(199/20) / ln(1.5) = 5.7 bottles.
        Assert.Equal(6, many.Uses.Count);
        Assert.True(BottleCascade.WithFreshBottles(Space(100, 1), Space(50, 200), AbsolutePressure.FromBar(200)) is { IsReached: false, Uses.Count: 1 });
        Assert.Contains("booster", BottleCascade.WithFreshBottles(Space(10, 1), Space(50, 150), AbsolutePressure.FromBar(170)).Summary, StringComparison.Ordinal);
        Assert.Empty(BottleCascade.WithFreshBottles(Space(10, 90), Space(50, 150), AbsolutePressure.FromBar(90)).Uses);
    }

    [Fact]
    public void A_bottle_from_the_cold_yard_counts_by_its_content()
    {
        GasSpace cold = Space(50, 150) with { Temperature = GasTemperature.FromDegreesCelsius(-15) };
        CascadeOutcome outcome = BottleCascade.Fill(Space(50, 1), [cold], AbsolutePressure.FromBar(300));
        Assert.Equal(cold.Content.Moles, outcome.Uses[0].Before.Content.Moles, 1e-9 * cold.Content.Moles);
        Assert.True(outcome.Uses[0].Before.Pressure.Bar > 170);
    }

    [Fact]
    public void Refuses_a_target_below_and_a_space_without_volume()
    {
        Assert.Contains("bleed", Assert.Throws<ArgumentOutOfRangeException>(
            () => BottleCascade.Fill(Space(10, 90), [], AbsolutePressure.FromBar(80))).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => BottleCascade.Fill(default, [], AbsolutePressure.FromBar(80)));
        Assert.Throws<ArgumentOutOfRangeException>(() => BottleCascade.WithFreshBottles(Space(10, 1), default, AbsolutePressure.FromBar(80)));
        Assert.Throws<OutsideNitrogenRangeException>(() => BottleCascade.Fill(Space(10, 90), [], AbsolutePressure.FromBar(701)));
    }

    private static GasSpace Space(double litres, double bar) => new(GasVolume.FromLitres(litres), AbsolutePressure.FromBar(bar), Twenty);
}
