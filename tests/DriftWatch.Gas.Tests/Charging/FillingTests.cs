using CsCheck;
using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Tests.Charging;

public class FillingTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);
    private static readonly TimeSpan Minute = TimeSpan.FromMinutes(1);

    private static readonly Gen<(GasSpace Vessel, GasSpace Bottle, AbsolutePressure Target)> Jobs = Gen.Select(
        Gen.Double[1, 100], Gen.Double[5, 40], Gen.Double[10, 100], Gen.Double[-10, 40]).Select((litres, present, more, celsius) =>
        (
            Space(litres, present, celsius),
            // Enough in the bottle: at least ten vessels at 300 bar.
            Space(Math.Max(50, 10 * litres), 300, 20),
            AbsolutePressure.FromBar(present + more)));

    /// <summary>
    /// Textbook limit: a vessel filled from empty by an endless supply of ideal gas, without heat exchange, warms to k times the
    /// temperature of the supply (charging of an evacuated tank). k of nitrogen falls from 1.400 at 293 K to 1.396 at 410 K.
    /// </summary>
    [Fact]
    public void From_empty_the_gas_warms_to_k_times_the_supply()
    {
        GasSpace supply = new(GasVolume.FromCubicMetres(1e5), AbsolutePressure.FromPascals(3_000), Twenty);
        GasSpace empty = new(GasVolume.FromLitres(1), AbsolutePressure.FromPascals(0.5), Twenty);
        FillOutcome outcome = Filling.ToPressure(empty, supply, AbsolutePressure.FromPascals(2_000), HeatExchange.None);
        Assert.InRange(outcome.TemperatureNow.Kelvins / 293.15, 1.395, 1.400);
        Assert.Equal(293.15, outcome.BottleTemperatureNow.Kelvins, 1e-4);

        // It settles at 1 / k of what the gauge shows.
        Assert.Equal(2_000, outcome.Settled.Pressure.Pascals * outcome.TemperatureNow.Kelvins / 293.15, 0.2);
    }

    /// <summary>Second route: energy of bottle and vessel together stays, entropy of the gas left in the bottle stays.</summary>
    [Fact]
    public void Adiabatic_filling_keeps_the_energy_of_bottle_and_vessel_together() => Jobs.Sample(
        (vessel, bottle, target) =>
        {
            FillOutcome outcome = Filling.ToPressure(vessel, bottle, target, HeatExchange.None);
            NitrogenState left = Isentrope.ToDensity(
                NitrogenState.AtPressure(bottle.Temperature.Kelvins, bottle.Pressure.Pascals), outcome.BottleSettled.MolarDensityMolPerM3);
            Assert.Equal(left.TemperatureK, outcome.BottleTemperatureNow.Kelvins, 1e-4);

            double before = Energy(vessel) + Energy(bottle);
            double inBottle = outcome.BottleSettled.Content.Moles * left.InternalEnergyJPerMol;
            double perMole = (before - inBottle) / outcome.Settled.Content.Moles;
            NitrogenState gas = HeatedTo(outcome.MolarDensityMolPerM3, perMole);
            Assert.Equal(gas.TemperatureK, outcome.TemperatureNow.Kelvins, 1e-3);
            Assert.Equal(target.Pascals, outcome.PressureNow.Pascals, 1e-6 * target.Pascals);
        },
        iter: 30);

    [Fact]
    public void What_is_filled_to_X_settles_at_Y_and_the_reverse_cancel() => Jobs.Sample(
        (vessel, bottle, target) =>
        {
            FillOutcome filled = Filling.ToPressure(vessel, bottle, target, HeatExchange.None);
            Assert.True(filled.Settled.Pressure.Pascals < target.Pascals);
            FillOutcome back = Filling.ToSettled(vessel, bottle, filled.Settled.Pressure, HeatExchange.None);
            Assert.Equal(target.Pascals, back.PressureNow.Pascals, 1e-5 * target.Pascals);
            Assert.Equal(filled.Added.Moles, back.Added.Moles, 1e-6 * filled.Added.Moles);
        },
        iter: 20);

    [Fact]
    public void Nitrogen_is_neither_made_nor_lost() => Jobs.Sample(
        (vessel, bottle, target) =>
        {
            FillOutcome outcome = Filling.ToSettled(vessel, bottle, target, HeatExchange.None);
            double before = vessel.Content.Moles + bottle.Content.Moles;
            Assert.Equal(before, outcome.Settled.Content.Moles + outcome.BottleSettled.Content.Moles, 1e-8 * before);
            Assert.Equal(target.Bar, outcome.Settled.Pressure.Bar, 1e-8);
            Assert.Equal(outcome.Settled.Content.Moles - vessel.Content.Moles, outcome.Added.Moles, 1e-8 * before);
        },
        iter: 20);

    [Fact]
    public void With_time_the_filling_goes_from_adiabatic_to_isothermal()
    {
        (GasSpace vessel, GasSpace bottle, AbsolutePressure target) = (Space(20, 20, 20), Space(50, 200, 20), AbsolutePressure.FromBar(100));
        double adiabatic = Filling.ToSettled(vessel, bottle, target, HeatExchange.None).PressureNow.Pascals;
        double[] slower = [.. new[] { 0.001, 0.3, 1, 3, 10, 1e5 }.Select(minutes => Filling.ToSettled(
            vessel, bottle, target, HeatExchange.During(TimeSpan.FromMinutes(minutes), Minute, 5 * Minute)).PressureNow.Pascals)];
        Assert.Equal(adiabatic, slower[0], 1e-3 * adiabatic);
        Assert.Equal(target.Pascals, slower[^1], 1e-4 * target.Pascals);
        Assert.All(slower.Zip(slower.Skip(1)), pair => Assert.True(pair.First > pair.Second));
    }

    [Fact]
    public void The_gas_cools_down_to_where_it_settles()
    {
        FillOutcome outcome = Filling.ToPressure(Space(10, 1, 20), Space(50, 200, 20), AbsolutePressure.FromBar(100), HeatExchange.None);
        Assert.Equal(outcome.PressureNow.Pascals, outcome.PressureAfter(TimeSpan.Zero, Minute).Pascals, 1);
        Assert.Equal(outcome.Settled.Pressure.Pascals, outcome.PressureAfter(60 * Minute, Minute).Pascals, 1);
        double one = outcome.PressureAfter(Minute, Minute).Pascals;

        // After one time constant 1/e of the temperature difference is left, and the isochore is nearly straight.
        double left = (one - outcome.Settled.Pressure.Pascals) / (outcome.PressureNow.Pascals - outcome.Settled.Pressure.Pascals);
        Assert.Equal(Math.Exp(-1), left, 0.01);
        Assert.Throws<ArgumentOutOfRangeException>(() => outcome.PressureAfter(-Minute, Minute));
        Assert.Throws<ArgumentOutOfRangeException>(() => outcome.PressureAfter(Minute, TimeSpan.Zero));
    }

    [Fact]
    public void A_bottle_that_is_too_low_needs_a_booster()
    {
        var error = Assert.Throws<FillingNotReachableException>(() => Filling.ToSettled(
            Space(50, 10, 20), Space(50, 150, 20), AbsolutePressure.FromBar(120), HeatExchange.None));
        Assert.Contains("can't be reached without a booster", error.Message, StringComparison.Ordinal);
        Assert.InRange(error.Reachable.Bar, 70, 90);
        Assert.True(error.NeedsBooster);
        Assert.Throws<FillingNotReachableException>(() => Filling.ToPressure(
            Space(50, 10, 20), Space(50, 150, 20), AbsolutePressure.FromBar(180), HeatExchange.None));
        Assert.Throws<FillingNotReachableException>(() => Filling.ToPressure(
            Space(1000, 10, 20), Space(10, 150, 20), AbsolutePressure.FromBar(100), HeatExchange.None));
    }

    [Fact]
    public void A_bottle_that_only_ran_cold_needs_time()
    {
        (GasSpace vessel, GasSpace bottle, AbsolutePressure target) = (Space(10, 1, 20), Space(50, 400, 20), AbsolutePressure.FromBar(300));
        var error = Assert.Throws<FillingNotReachableException>(() => Filling.ToSettled(vessel, bottle, target, HeatExchange.None));
        Assert.False(error.NeedsBooster);
        Assert.Contains("Fill slower", error.Message, StringComparison.Ordinal);
        Assert.Equal(300, Filling.ToSettled(vessel, bottle, target, HeatExchange.During(120 * Minute, Minute, Minute)).Settled.Pressure.Bar, 1e-6);
    }

    [Fact]
    public void Refuses_what_is_no_filling()
    {
        GasSpace vessel = Space(20, 50, 20);
        GasSpace bottle = Space(50, 200, 20);
        Assert.Contains("bleed", Assert.Throws<ArgumentOutOfRangeException>(
            () => Filling.ToSettled(vessel, bottle, AbsolutePressure.FromBar(40), HeatExchange.None)).Message, StringComparison.Ordinal);
        Assert.Throws<ArgumentOutOfRangeException>(() => Filling.ToPressure(vessel, bottle, vessel.Pressure, HeatExchange.None));
        Assert.Contains("holds no gas", Assert.Throws<ArgumentOutOfRangeException>(
            () => Filling.ToSettled(vessel with { Pressure = default }, bottle, vessel.Pressure, HeatExchange.None)).Message, StringComparison.Ordinal);
        Assert.Throws<OutsideNitrogenRangeException>(() => Filling.ToSettled(vessel, default, AbsolutePressure.FromBar(60), HeatExchange.None));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeatExchange.During(-Minute, Minute, Minute));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeatExchange.During(Minute, TimeSpan.Zero, Minute));
        Assert.Throws<ArgumentOutOfRangeException>(() => HeatExchange.During(Minute, Minute, TimeSpan.Zero));
    }

    private static GasSpace Space(double litres, double bar, double celsius) => new(
        GasVolume.FromLitres(litres), AbsolutePressure.FromBar(bar), GasTemperature.FromDegreesCelsius(celsius));

    private static double Energy(GasSpace space) =>
        space.Content.Moles * NitrogenState.AtPressure(space.Temperature.Kelvins, space.Pressure.Pascals).InternalEnergyJPerMol;

    /// <summary>The state of a density with an energy, by halving: no solve of the code under test.</summary>
    private static NitrogenState HeatedTo(double density, double energyJPerMol)
    {
        // States hotter than 373.15 K are reached by pressing gas of half the density along its isentrope.
        Func<double, NitrogenState> at = NitrogenState.AtDensity(373.15, density).InternalEnergyJPerMol >= energyJPerMol
            ? t => NitrogenState.AtDensity(t, density)
            : t => Isentrope.ToDensity(NitrogenState.AtDensity(t, density / 2), density);
        (double low, double high) = (233, 373.15);
        for (int i = 0; i < 50; i++)
        {
            double mid = (low + high) / 2;
            (low, high) = at(mid).InternalEnergyJPerMol < energyJPerMol ? (mid, high) : (low, mid);
        }

        return at(low);
    }
}
