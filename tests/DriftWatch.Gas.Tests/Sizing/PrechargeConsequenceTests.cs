using CsCheck;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Sizing;

namespace DriftWatch.Gas.Tests.Sizing;

public class PrechargeConsequenceTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);

    /// <summary>
    /// Reference densities at 293.15 K: 411.171872 mol/m3 at 1 MPa, 1650.707476 at 4, 3698.493889 at 9, 5655.684407 at 14, 8133.832403 at
    /// 21 MPa. The usable volume goes with the charge, so what is lost is the lost part of the charge.
    /// </summary>
    [Fact]
    public void Isothermal_loss_is_the_lost_part_of_the_charge()
    {
        PrechargeConsequence found = Of(90, 40, 140, 210, StrokeHeat.Isothermal);
        double perMole = (1 / 5655.684407) - (1 / 8133.832403);
        Assert.Equal(50 * 3698.493889 * perMole, found.NominalUsableVolume.Litres, 2e-5);
        Assert.Equal(50 * (3698.493889 - 1650.707476) * perMole, found.LostLitres, 2e-5);
        Assert.Equal(1 - (1650.707476 / 3698.493889), found.LostFraction, 1e-6);
        Assert.Equal(210 / 40.0, found.RatioNow, 1e-9);
        Assert.Equal(140 / 40.0, found.LowestOverPrechargeNow, 1e-9);
        Assert.False(found.IsWithinRatioLimit);
    }

    [Fact]
    public void Nothing_lost_nothing_missing()
    {
        PrechargeConsequence found = Of(90, 90, 100, 210, StrokeHeat.Adiabatic);
        Assert.Equal(0, found.LostLitres);
        Assert.Equal(0, found.LostFraction);
        Assert.True(found.IsWithinRatioLimit);
    }

    [Fact]
    public void The_less_precharge_the_more_is_lost() => Gen.Select(Gen.Double[30, 89], Gen.Double[1, 10]).Sample(
        (now, less) => Of(90, now, 100, 210, StrokeHeat.Adiabatic).LostLitres < Of(90, now - less, 100, 210, StrokeHeat.Adiabatic).LostLitres);

    [Fact]
    public void An_overcharged_vessel_gives_less_too()
    {
        // At 150 bar precharge the fluid that lies between 100 and 150 bar is missing.
        PrechargeConsequence found = Of(90, 150, 100, 210, StrokeHeat.Isothermal);
        Assert.True(found.LostLitres > 0);
        Assert.True(found.LowestOverPrechargeNow < 1.1);
    }

    [Fact]
    public void Without_a_precharge_now_there_is_nothing_to_compare() => Assert.Throws<ArgumentOutOfRangeException>(
        () => Of(90, 0, 100, 210, StrokeHeat.Adiabatic));

    private static PrechargeConsequence Of(double nominal, double now, double p1, double p2, StrokeHeat heat) => PrechargeConsequence.Of(
        new PrechargedVessel(GasVolume.FromLitres(50), AbsolutePressure.FromBar(nominal), Twenty), AbsolutePressure.FromBar(now),
        AccumulatorType.Bladder, AbsolutePressure.FromBar(p1), AbsolutePressure.FromBar(p2), Twenty, Stroke.Discharge, heat);
}
