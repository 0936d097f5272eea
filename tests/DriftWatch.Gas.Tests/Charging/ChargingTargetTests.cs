using CsCheck;
using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Tests.Charging;

public class ChargingTargetTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);
    private static readonly AbsolutePressure Ambient = AbsolutePressure.FromBar(1);

    /// <summary>
    /// Reference states computed with the nitrogen equation apart from this code: gas at 278.15 K and 9 MPa absolute has
    /// 9.602147652 MPa at 293.15 K; gas at 323.15 K and 21 MPa has 18.398638062 MPa.
    /// </summary>
    [Theory]
    [InlineData(278.15, 9_602_147.652, 9_000_000)]
    [InlineData(323.15, 18_398_638.062, 21_000_000)]
    public void Gauge_shows_the_wanted_precharge_at_the_gas_temperature(double gasK, double prechargePa, double readingPa)
    {
        GasTemperature gas = GasTemperature.FromKelvins(gasK);
        AbsolutePressure precharge = AbsolutePressure.FromPascals(prechargePa);
        GaugePressure shown = ChargingTarget.GaugePressureAt(gas, precharge, Twenty, Ambient);
        Assert.Equal(readingPa - 100_000, shown.Pascals, 0.1);
        Assert.Equal(prechargePa, ChargingTarget.PrechargeAtReference(shown, gas, Twenty, Ambient).Pascals, 0.1);
    }

    [Fact]
    public void Target_and_its_reverse_cancel() =>
        Gen.Select(Gen.Double[233, 373], Gen.Double[2, 400], Gen.Double[0.6, 1.08]).Sample((t, bar, ambientBar) =>
        {
            GasTemperature gas = GasTemperature.FromKelvins(t);
            AbsolutePressure ambient = AbsolutePressure.FromBar(ambientBar);
            GaugePressure shown = ChargingTarget.GaugePressureAt(gas, AbsolutePressure.FromBar(bar), Twenty, ambient);
            Assert.Equal(bar, ChargingTarget.PrechargeAtReference(shown, gas, Twenty, ambient).Bar, 1e-8);
        });

    [Fact]
    public void Nitrogen_to_add_is_the_difference_of_the_reference_densities()
    {
        // 293.15 K: 3698.493889 mol/m3 at 9 MPa, 5655.684407 mol/m3 at 14 MPa; 50 litres.
        AmountOfGas dose = ChargingTarget.NitrogenToAdd(
            AbsolutePressure.FromPascals(9e6), AbsolutePressure.FromPascals(14e6), Twenty, GasVolume.FromLitres(50));
        double moles = (5655.684407 - 3698.493889) * 0.05;
        Assert.Equal(moles, dose.Moles, 1e-5);
        Assert.Equal(moles * 0.0280134, dose.KilogramsOfNitrogen, 1e-6);
        Assert.Equal(moles * 22.41397, dose.VolumeAt(StandardCondition.Din1343).Litres, 2e-3);
    }

    [Fact]
    public void A_bleed_is_not_a_charge()
    {
        var error = Assert.Throws<ArgumentException>(() => ChargingTarget.NitrogenToAdd(
            AbsolutePressure.FromBar(100), AbsolutePressure.FromBar(90), Twenty, GasVolume.FromLitres(50)));
        Assert.Contains("released", error.Message, StringComparison.Ordinal);
    }

    [Fact]
    public void A_temperature_outside_the_nitrogen_range_is_refused() => Assert.Throws<OutsideNitrogenRangeException>(() =>
        ChargingTarget.GaugePressureAt(GasTemperature.FromDegreesCelsius(120), AbsolutePressure.FromBar(90), Twenty, Ambient));
}
