using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Sizing;

namespace DriftWatch.Gas.Tests.Sizing;

public class PrechargeChoiceTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);

    /// <summary>
    /// Common practice: 0.9 x p1 at the highest gas temperature. Reference states: gas at 323.15 K and 9 MPa has 8.025443917 MPa at
    /// 293.15 K; gas at 263.15 K that has 8.0254 MPa at 293.15 K lies by the ideal ratio near 7.2 MPa and by the real gas below it.
    /// </summary>
    [Fact]
    public void Energy_storage_takes_nine_tenths_at_the_warmest()
    {
        PrechargeChoice choice = PrechargeChoice.For(Between(100, 210, -10, 50), Duty.EnergyStorage, AccumulatorType.Bladder, Twenty);
        Assert.Equal(90, choice.AtWarmest.Bar, 1e-9);
        Assert.Equal(80.25443917, choice.AtReference.Bar, 2e-5);
        Assert.InRange(choice.AtColdest.Bar, 69, 80.2544 * 263.15 / 293.15);
        Assert.Equal(210 / choice.AtColdest.Bar, choice.HighestRatio, 1e-12);
        Assert.True(choice.IsWithinRatioLimit);
    }

    [Fact]
    public void Damping_and_shock_run_lower()
    {
        foreach (Duty duty in new[] { Duty.PulsationDamping, Duty.ShockAbsorption })
        {
            PrechargeChoice choice = PrechargeChoice.For(Between(100, 130, 20, 20), duty, AccumulatorType.WeldedDiaphragm, Twenty);
            Assert.InRange(choice.AtReference.Bar, 60, 80);
            Assert.Equal(choice.AtWarmest.Bar, choice.AtReference.Bar, 1e-9);
        }
    }

    [Theory]
    [InlineData(AccumulatorType.Bladder, 350, true)]
    [InlineData(AccumulatorType.Bladder, 365, false)]
    [InlineData(AccumulatorType.WeldedDiaphragm, 365, true)]
    [InlineData(AccumulatorType.ScrewedDiaphragm, 690, true)]
    [InlineData(AccumulatorType.Piston, 700, true)]
    public void A_ratio_beyond_the_type_is_told(AccumulatorType type, double p2, bool within) => Assert.Equal(
        within, PrechargeChoice.For(Between(100, p2, 20, 20), Duty.EnergyStorage, type, Twenty).IsWithinRatioLimit);

    [Fact]
    public void Refuses_ranges_turned_round()
    {
        Assert.Contains("not above the highest", Assert.Throws<ArgumentOutOfRangeException>(() => Between(211, 210, 0, 50)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => Between(0, 210, 0, 50));
        Assert.Throws<ArgumentOutOfRangeException>(() => Between(100, 210, 51, 50));
        Assert.Throws<OutsideNitrogenRangeException>(() => Between(100, 701, 0, 50));
        Assert.Throws<OutsideNitrogenRangeException>(() => Between(100, 210, -50, 50));
        Assert.Throws<ArgumentOutOfRangeException>(
            () => PrechargeChoice.For(Between(100, 210, 0, 50), (Duty)9, AccumulatorType.Bladder, Twenty));
        Assert.Throws<ArgumentOutOfRangeException>(() => PressureRatioLimit.Highest((AccumulatorType)9));
    }

    private static WorkingConditions Between(double p1, double p2, double coldest, double warmest) => new(
        AbsolutePressure.FromBar(p1), AbsolutePressure.FromBar(p2),
        GasTemperature.FromDegreesCelsius(coldest), GasTemperature.FromDegreesCelsius(warmest));
}
