using CsCheck;
using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.Gas.Tests.Nitrogen;

public class IsentropeTests
{
    [Fact]
    public void Thin_gas_follows_the_adiabatic_formula_of_the_handbooks()
    {
        // T2 / T1 = (p2 / p1)^((k - 1) / k), k = 1.4 (1.400 at 300 K); over so small a step k stays.
        NitrogenState from = NitrogenState.AtPressure(300, 1_000);
        NitrogenState to = Isentrope.ToPressure(from, 800);
        Assert.Equal(300 * Math.Pow(0.8, 0.4 / 1.4), to.TemperatureK, 0.02);
        Assert.Equal(from.MolarDensityMolPerM3 * Math.Pow(0.8, 1 / 1.4), to.MolarDensityMolPerM3, 1e-4);
    }

    [Fact]
    public void Entropy_stays_and_the_way_back_is_the_same() =>
        Gen.Select(Gen.Double[280, 373], Gen.Double[1e5, 40e6], Gen.Double[0.4, 1.6]).Sample((t, p, ratio) =>
        {
            NitrogenState from = NitrogenState.AtPressure(t, p);
            NitrogenState to = Isentrope.ToPressure(from, p * ratio);
            Assert.Equal(p * ratio, to.PressurePa, 1e-8 * p);
            Assert.Equal(from.EntropyJPerMolK, to.EntropyJPerMolK, 1e-9);
            Assert.Equal(ratio > 1, to.TemperatureK > t);
            Assert.Equal(t, Isentrope.ToPressure(to, p).TemperatureK, 1e-7);
            Assert.Equal(to.TemperatureK, Isentrope.ToDensity(from, to.MolarDensityMolPerM3).TemperatureK, 1e-7);
        });

    /// <summary>States where rounding keeps the pressure some 1.3e-12 of itself away from the one asked for.</summary>
    [Theory]
    [InlineData(340.15, 21_725_000, 15_800_000)]
    [InlineData(348.44, 350_766_369 / 31.0, 350_766_369 / 31.0 * 0.464482655607441)]
    public void Ends_where_rounding_lets_the_pressure_come_no_nearer(double temperatureK, double pressurePa, double endPa)
    {
        NitrogenState from = NitrogenState.AtPressure(temperatureK, pressurePa);
        NitrogenState to = Isentrope.ToPressure(from, endPa);
        Assert.Equal(endPa, to.PressurePa, 1e-11 * endPa);
        Assert.Equal(from.EntropyJPerMolK, to.EntropyJPerMolK, 1e-9);
    }

    [Fact]
    public void Work_of_expansion_is_the_loss_of_energy() => Gen.Select(Gen.Double[290, 370], Gen.Double[5e6, 40e6]).Sample(
        (t, p) =>
        {
            // du = -p dv = p drho / rho^2 along the isentrope, by Simpson's rule: the route does not use entropy.
            NitrogenState from = NitrogenState.AtPressure(t, p);
            double end = from.MolarDensityMolPerM3 / 2;
            const int steps = 200;
            double sum = 0;
            for (int i = 0; i <= steps; i++)
            {
                double rho = from.MolarDensityMolPerM3 + ((end - from.MolarDensityMolPerM3) * i / steps);
                sum += (i is 0 or steps ? 1 : i % 2 == 1 ? 4 : 2) * Isentrope.ToDensity(from, rho).PressurePa / (rho * rho);
            }

            double work = sum * (end - from.MolarDensityMolPerM3) / steps / 3;
            Assert.Equal(work, Isentrope.ToDensity(from, end).InternalEnergyJPerMol - from.InternalEnergyJPerMol, 1e-5 * Math.Abs(work));
        },
        iter: 10);

    [Fact]
    public void Refuses_to_go_where_nitrogen_may_condense()
    {
        NitrogenState cold = NitrogenState.AtPressure(233, 30e6);
        var error = Assert.Throws<OutsideNitrogenRangeException>(() => Isentrope.ToPressure(cold, 1e6));
        Assert.Contains("condense", error.Message, StringComparison.Ordinal);
        Assert.InRange(error.Value, 60, 126.192);
        Assert.Throws<OutsideNitrogenRangeException>(() => Isentrope.ToPressure(cold, 0));
        Assert.Throws<OutsideNitrogenRangeException>(() => Isentrope.ToDensity(cold, double.NaN));
        Assert.Throws<OutsideNitrogenRangeException>(() => Isentrope.ToDensity(cold, 0));

        // A thin gas pressed ten thousandfold leaves the equation at the hot end.
        var hot = Assert.Throws<OutsideNitrogenRangeException>(() => Isentrope.ToDensity(NitrogenState.AtPressure(373, 1e3), 1e3));
        Assert.True(hot.Value > 1000);
    }
}
