using CsCheck;
using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Tests.Charging;

public class BleedingTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);

    [Fact]
    public void A_thin_gas_cools_by_the_adiabatic_formula_and_comes_back()
    {
        GasSpace vessel = new(GasVolume.FromLitres(20), AbsolutePressure.FromPascals(1_000), Twenty);
        BleedOutcome outcome = Bleeding.ToPressure(vessel, AbsolutePressure.FromPascals(900));
        Assert.Equal(293.15 * Math.Pow(0.9, 0.4 / 1.4), outcome.TemperatureNow.Kelvins, 0.02);

        // Back at 20 degrees C at constant density: p T0 / T.
        Assert.Equal(900 * Math.Pow(0.9, -0.4 / 1.4), outcome.Settled.Pressure.Pascals, 0.1);
        Assert.Equal((1_000 - outcome.Settled.Pressure.Pascals) * 0.02 / (8.31451 * 293.15), outcome.Released.Moles, 1e-7);
    }

    [Fact]
    public void Bleeding_to_a_target_and_the_reverse_cancel() =>
        Gen.Select(Gen.Double[20, 300], Gen.Double[0.7, 0.999], Gen.Double[-20, 60]).Sample((bar, part, celsius) =>
        {
            GasSpace vessel = new(GasVolume.FromLitres(10), AbsolutePressure.FromBar(bar), GasTemperature.FromDegreesCelsius(celsius));
            BleedOutcome slow = Bleeding.ToSettled(vessel, AbsolutePressure.FromBar(bar * part));
            Assert.True(slow.PressureNow.Pascals < slow.Settled.Pressure.Pascals);
            BleedOutcome fast = Bleeding.ToPressure(vessel, slow.PressureNow);
            Assert.Equal(bar * part, fast.Settled.Pressure.Bar, 1e-7);
            Assert.Equal(slow.Released.Moles, fast.Released.Moles, 1e-7 * vessel.Content.Moles);
            Assert.Equal(vessel.Content.Moles - slow.Settled.Content.Moles, slow.Released.Moles, 1e-9 * vessel.Content.Moles);
        });

    /// <summary>Reference densities at 293.15 K: 5655.684407 mol/m3 at 14 MPa, 3698.493889 at 9 MPa (see the equation's tests).</summary>
    [Fact]
    public void Overfill_of_a_vessel_is_released_in_moles()
    {
        GasSpace vessel = new(GasVolume.FromLitres(50), AbsolutePressure.FromPascals(14e6), Twenty);
        Assert.Equal((5655.684407 - 3698.493889) * 0.05, Bleeding.ToSettled(vessel, AbsolutePressure.FromPascals(9e6)).Released.Moles, 1e-4);
    }

    [Fact]
    public void Refuses_what_is_no_bleed()
    {
        GasSpace vessel = new(GasVolume.FromLitres(50), AbsolutePressure.FromBar(90), Twenty);
        Assert.Contains("fill", Assert.Throws<ArgumentOutOfRangeException>(
            () => Bleeding.ToSettled(vessel, AbsolutePressure.FromBar(91))).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => Bleeding.ToPressure(vessel, default));
        Assert.Throws<OutsideNitrogenRangeException>(() => Bleeding.ToPressure(vessel, AbsolutePressure.FromBar(1)));
    }
}
