using CsCheck;
using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.Gas.Tests.Nitrogen;

public class NitrogenStateTests
{
    private static readonly Gen<(double TemperatureK, double PressurePa)> Inner =
        Gen.Select(Gen.Double[234, 372], Gen.Double[1e5, 69e6]);

    /// <summary>The reference of the equation: ideal gas at 298.15 K, 101 325 Pa (its paper, from memory).</summary>
    [Fact]
    public void Thin_gas_has_the_reference_enthalpy_and_entropy()
    {
        NitrogenState state = NitrogenState.AtPressure(298.15, 0.101325);
        Assert.InRange(state.EnthalpyJPerMol, 8670 - 0.01, 8670 + 0.01);
        double entropyAtOneAtmosphere = state.EntropyJPerMolK - (8.31451 * Math.Log(1e6));
        Assert.InRange(entropyAtOneAtmosphere, 191.5 - 1e-4, 191.5 + 1e-4);
    }

    /// <summary>
    /// Ideal-gas heat capacity near room temperature: 29.124 J/(mol K) at 298.15 K (CODATA and JANAF tables, from memory).
    /// </summary>
    [Fact]
    public void Thin_gas_has_the_tabled_heat_capacities_and_speed_of_sound()
    {
        NitrogenState state = NitrogenState.AtPressure(298.15, 1);
        Assert.InRange(state.IsobaricHeatCapacityJPerMolK, 29.124 - 0.003, 29.124 + 0.003);
        Assert.InRange(state.IsobaricHeatCapacityJPerMolK - state.IsochoricHeatCapacityJPerMolK, 8.31451 - 1e-5, 8.31451 + 1e-5);

        double ratio = 29.124 / (29.124 - 8.31451);
        double idealSpeed = Math.Sqrt(ratio * 8.31451 * 298.15 / 0.0280134);
        Assert.InRange(state.SpeedOfSoundMPerS, idealSpeed - 0.03, idealSpeed + 0.03);
    }

    /// <summary>
    /// Nitrogen at 300 K and 1 atm: 0.04063 mol/l, cp 29.17 J/(mol K), cv 20.82 J/(mol K), speed of sound 353.2 m/s (NIST WebBook isotherm
    /// and the tables of the equation's paper, from memory, to the digits given).
    /// </summary>
    [Fact]
    public void Agrees_with_the_published_isotherm_at_300_K()
    {
        NitrogenState state = NitrogenState.AtPressure(300, 101_325);
        Assert.Equal(0.04063, state.MolarDensityMolPerM3 / 1000, 5e-6);
        Assert.Equal(29.17, state.IsobaricHeatCapacityJPerMolK, 0.005);
        Assert.Equal(20.82, state.IsochoricHeatCapacityJPerMolK, 0.005);
        Assert.Equal(353.2, state.SpeedOfSoundMPerS, 0.05);
    }

    [Fact]
    public void Isochore_slope_is_that_of_the_equation() => Inner.Sample((t, p) =>
    {
        NitrogenState state = NitrogenState.AtPressure(t, p);
        Near(NitrogenEquation.PressureByTemperaturePaPerK(t, state.MolarDensityMolPerM3), state.IsochoreSlopePaPerK, 1e-12);
    });

    [Fact]
    public void Heat_capacities_are_the_slopes_of_energy_and_enthalpy() => Inner.Sample((t, p) =>
    {
        const double h = 0.05;
        NitrogenState state = NitrogenState.AtPressure(t, p);
        double cp = (NitrogenState.AtPressure(t + h, p).EnthalpyJPerMol - NitrogenState.AtPressure(t - h, p).EnthalpyJPerMol) / (2 * h);
        double cv = (NitrogenState.AtDensity(t + h, state.MolarDensityMolPerM3).InternalEnergyJPerMol
            - NitrogenState.AtDensity(t - h, state.MolarDensityMolPerM3).InternalEnergyJPerMol) / (2 * h);
        Near(cp, state.IsobaricHeatCapacityJPerMolK, 1e-6);
        Near(cv, state.IsochoricHeatCapacityJPerMolK, 1e-6);
    });

    [Fact]
    public void Entropy_obeys_the_relations_of_Gibbs_and_Maxwell() => Inner.Sample((t, p) =>
    {
        const double h = 0.05;
        NitrogenState state = NitrogenState.AtPressure(t, p);
        double rho = state.MolarDensityMolPerM3;
        double byTemperature = (NitrogenState.AtPressure(t + h, p).EntropyJPerMolK - NitrogenState.AtPressure(t - h, p).EntropyJPerMolK) / (2 * h);
        Near(state.IsobaricHeatCapacityJPerMolK / t, byTemperature, 1e-6);

        // (ds/dv) at constant T equals (dp/dT) at constant v.
        double step = 1e-4 * rho;
        double byDensity = (NitrogenState.AtDensity(t, rho + step).EntropyJPerMolK - NitrogenState.AtDensity(t, rho - step).EntropyJPerMolK) / (2 * step);
        Near(NitrogenEquation.PressureByTemperaturePaPerK(t, rho), -byDensity * rho * rho, 1e-6);
    });

    [Fact]
    public void Speed_of_sound_is_the_isentropic_slope() => Inner.Sample((t, p) =>
    {
        // Along an isentrope dT/drho = T (dp/dT) / (rho^2 cv); the pressure difference along it gives the speed without cp.
        NitrogenState state = NitrogenState.AtPressure(t, p);
        double rho = state.MolarDensityMolPerM3;
        double dt = t * NitrogenEquation.PressureByTemperaturePaPerK(t, rho) / (rho * rho * state.IsochoricHeatCapacityJPerMolK);
        double step = 1e-5 * rho;
        double slope = (NitrogenEquation.PressurePa(t + (dt * step), rho + step) - NitrogenEquation.PressurePa(t - (dt * step), rho - step)) / (2 * step);
        Near(Math.Sqrt(slope / 0.0280134), state.SpeedOfSoundMPerS, 1e-6);
    });

    [Fact]
    public void Enthalpy_is_energy_plus_pressure_times_volume() => Inner.Sample((t, p) =>
    {
        NitrogenState state = NitrogenState.AtPressure(t, p);
        Near(state.InternalEnergyJPerMol + (p / state.MolarDensityMolPerM3), state.EnthalpyJPerMol, 1e-11);
        Near(p, state.PressurePa, 1e-12);
    });

    [Fact]
    public void A_state_needs_gas() => Assert.Throws<OutsideNitrogenRangeException>(() => NitrogenState.AtPressure(293.15, 0));

    private static void Near(double expected, double actual, double relative) =>
        Assert.InRange(Math.Abs(actual - expected), 0, relative * Math.Abs(expected));
}
