using CsCheck;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Sizing;

namespace DriftWatch.Gas.Tests.Sizing;

public class UsableVolumeTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    /// <summary>Boyle's law of the handbooks for thin gas: V = V0 p0 (1/p1 - 1/p2).</summary>
    [Theory]
    [InlineData(Stroke.Discharge)]
    [InlineData(Stroke.Charge)]
    public void Thin_gas_isothermal_is_Boyles_law(Stroke stroke) => Assert.Equal(
        50 * 900 * ((1 / 1_000.0) - (1 / 2_000.0)),
        Thin(1_000, 2_000, stroke, StrokeHeat.Isothermal),
        1e-3);

    /// <summary>Polytropic law of the handbooks, n = 1.4, for thin gas that starts settled at the end where the stroke begins.</summary>
    [Fact]
    public void Thin_gas_adiabatic_is_the_polytropic_law()
    {
        double full = 50 * 900 / 2_000.0;
        Assert.Equal(full * (Math.Pow(2, 1 / 1.4) - 1), Thin(1_000, 2_000, Stroke.Discharge, StrokeHeat.Adiabatic), 1e-2);
        double empty = 50 * 900 / 1_000.0;
        Assert.Equal(empty * (1 - Math.Pow(2, -1 / 1.4)), Thin(1_000, 2_000, Stroke.Charge, StrokeHeat.Adiabatic), 1e-2);
    }

    /// <summary>Reference densities at 293.15 K: 3698.493889 mol/m3 at 9 MPa, 5655.684407 at 14 MPa, 8133.832403 at 21 MPa.</summary>
    [Fact]
    public void Real_gas_isothermal_is_the_ratio_of_the_reference_densities() => Assert.Equal(
        50 * 3698.493889 * ((1 / 5655.684407) - (1 / 8133.832403)),
        Litres(50, 90, 140, 210, Twenty, Stroke.Discharge, StrokeHeat.Isothermal),
        2e-5);

    [Fact]
    public void Adiabatic_discharge_ends_where_entropy_is_that_of_the_start() =>
        Gen.Select(Gen.Double[90, 200], Gen.Double[1.1, 1.6], Gen.Double[20, 80]).Sample((p1, ratio, celsius) =>
        {
            // Second route: the temperature at p1 by halving the entropy at that pressure, never along an isentrope.
            double t = 273.15 + celsius;
            NitrogenState start = NitrogenState.AtPressure(t, p1 * ratio * 1e5);
            (double low, double high) = (233, t);
            for (int i = 0; i < 50; i++)
            {
                double mid = (low + high) / 2;
                (low, high) = NitrogenState.AtPressure(mid, p1 * 1e5).EntropyJPerMolK < start.EntropyJPerMolK ? (mid, high) : (low, mid);
            }

            double moles = 50 * NitrogenEquation.MolarDensityMolPerM3(293.15, 60e5);
            double expected = moles * ((1 / NitrogenEquation.MolarDensityMolPerM3(low, p1 * 1e5)) - (1 / start.MolarDensityMolPerM3));
            double actual = Litres(50, 60, p1, p1 * ratio, GasTemperature.FromKelvins(t), Stroke.Discharge, StrokeHeat.Adiabatic);
            Assert.Equal(expected, actual, 1e-6);
        });

    [Theory]
    [InlineData(Stroke.Discharge)]
    [InlineData(Stroke.Charge)]
    public void With_time_the_stroke_goes_from_adiabatic_to_isothermal(Stroke stroke)
    {
        double adiabatic = Litres(50, 90, 100, 200, Twenty, stroke, StrokeHeat.Adiabatic);
        double isothermal = Litres(50, 90, 100, 200, Twenty, stroke, StrokeHeat.Isothermal);
        double[] between = [.. new[] { 0.001, 0.1, 1, 10, 1e5 }.Select(minutes =>
            Litres(50, 90, 100, 200, Twenty, stroke, StrokeHeat.During(TimeSpan.FromMinutes(minutes), Minute)))];
        Assert.True(adiabatic < isothermal);
        Assert.Equal(adiabatic, between[0], 2e-3 * adiabatic);
        Assert.Equal(isothermal, between[^1], 1e-4 * isothermal);
        Assert.All(between.Zip(between.Skip(1)), pair => Assert.True(pair.First < pair.Second));
    }

    [Fact]
    public void Usable_volume_never_exceeds_the_vessel_and_grows_with_the_upper_pressure() =>
        Gen.Select(Gen.Double[10, 150], Gen.Double[5, 200], Gen.Double[1.1, 2.5], Gen.Double[-10, 60]).Sample((p0, p1, ratio, celsius) =>
        {
            GasTemperature t = GasTemperature.FromDegreesCelsius(celsius);
            double less = Litres(50, p0, p1, p1 * ratio, t, Stroke.Discharge, StrokeHeat.Isothermal);
            double more = Litres(50, p0, p1, p1 * ratio * 1.05, t, Stroke.Discharge, StrokeHeat.Isothermal);
            Assert.InRange(less, 0, 50);
            Assert.True(more >= less);
            double fast = Litres(50, p0, p1, p1 * ratio, t, Stroke.Charge, StrokeHeat.Adiabatic);
            Assert.InRange(fast, 0, less + 1e-9);
        });

    [Theory]
    [InlineData(Stroke.Discharge)]
    [InlineData(Stroke.Charge)]
    public void Below_the_precharge_there_is_no_more_fluid_to_give(Stroke stroke)
    {
        // p1 below p0: the gas volume ends at V0, so 40 bar gives what 89.999 bar gives.
        double deep = Litres(50, 90, 40, 180, Twenty, stroke, StrokeHeat.Isothermal);
        double atPrecharge = Litres(50, 90, 90, 180, Twenty, stroke, StrokeHeat.Isothermal);
        Assert.Equal(atPrecharge, deep, 1e-9);
        Assert.Equal(0, Litres(50, 90, 40, 80, Twenty, stroke, StrokeHeat.Isothermal));
        Assert.Equal(0, Litres(50, 90, 40, 80, Twenty, stroke, StrokeHeat.Adiabatic));
        Assert.Equal(0, Litres(50, 90, 40, 80, Twenty, stroke, StrokeHeat.During(Minute, Minute)), 1e-9);

        // An adiabatic discharge from 180 bar has cooled to well below 90 bar before the vessel is empty.
        double cold = Litres(50, 90, 40, 180, Twenty, Stroke.Discharge, StrokeHeat.Adiabatic);
        Assert.Equal(atPrecharge, cold, 1e-9);
        Assert.True(Litres(50, 90, 90, 180, Twenty, Stroke.Discharge, StrokeHeat.Adiabatic) < cold);
    }

    [Fact]
    public void Refuses_an_expansion_to_where_nitrogen_may_condense()
    {
        GasTemperature cold = GasTemperature.FromKelvins(233);
        var error = Assert.Throws<OutsideNitrogenRangeException>(
            () => Litres(50, 5, 10, 400, cold, Stroke.Discharge, StrokeHeat.Adiabatic));
        Assert.Contains("condense", error.Message, StringComparison.Ordinal);
        Assert.True(Litres(50, 5, 10, 400, cold, Stroke.Discharge, StrokeHeat.Isothermal) > 0);
    }

    [Fact]
    public void Refuses_what_makes_no_stroke()
    {
        Assert.Throws<ArgumentOutOfRangeException>(() => Litres(0, 90, 100, 200, Twenty, Stroke.Charge, StrokeHeat.Adiabatic));
        Assert.Throws<ArgumentOutOfRangeException>(() => Litres(50, 0, 100, 200, Twenty, Stroke.Charge, StrokeHeat.Adiabatic));
        Assert.Throws<ArgumentOutOfRangeException>(() => Litres(50, 90, 0, 200, Twenty, Stroke.Charge, StrokeHeat.Adiabatic));
        Assert.Throws<ArgumentOutOfRangeException>(() => Litres(50, 90, 201, 200, Twenty, Stroke.Charge, StrokeHeat.Adiabatic));
        Assert.Throws<OutsideNitrogenRangeException>(() => Litres(50, 90, 100, 701, Twenty, Stroke.Charge, StrokeHeat.Adiabatic));
        Assert.Throws<ArgumentOutOfRangeException>(() => StrokeHeat.During(-Minute, Minute));
        Assert.Throws<ArgumentOutOfRangeException>(() => StrokeHeat.During(Minute, TimeSpan.Zero));
    }

    private static double Thin(double p1Pa, double p2Pa, Stroke stroke, StrokeHeat heat) => UsableVolume.Of(
        new PrechargedVessel(GasVolume.FromLitres(50), AbsolutePressure.FromPascals(900), Twenty),
        AbsolutePressure.FromPascals(p1Pa), AbsolutePressure.FromPascals(p2Pa), Twenty, stroke, heat).Litres;

    private static double Litres(double v0, double p0, double p1, double p2, GasTemperature t, Stroke stroke, StrokeHeat heat) => UsableVolume.Of(
        new PrechargedVessel(GasVolume.FromLitres(v0), AbsolutePressure.FromBar(p0), Twenty),
        AbsolutePressure.FromBar(p1), AbsolutePressure.FromBar(p2), t, stroke, heat).Litres;
}
