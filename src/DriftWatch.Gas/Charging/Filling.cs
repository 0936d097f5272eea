using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Charging;

/// <summary>
/// Filling a vessel from a bottle faster than the gas trades heat: gas pushed in warms the vessel, gas left behind cools the bottle.
/// Real gas, energy balance of the open system with the enthalpy of the bottle's gas; line and regulator take no heat, so what they
/// throttle keeps its enthalpy.
/// </summary>
public static class Filling
{
    // Even steps in the logarithm of the content; against the closed energy balance they err by less than 1e-7 of the temperature.
    private const int Steps = 100;
    private const int MostRounds = 60;
    private const double Accepted = 1e-9;

    /// <summary>Fill until the gauge shows a pressure, gas warm: it settles lower, at <see cref="FillOutcome.Settled"/>.</summary>
    /// <param name="vessel">The vessel before, fluid side released, gas and shell at one temperature.</param>
    /// <param name="bottle">The bottle before.</param>
    /// <param name="stopAt">Absolute pressure at which the filling stops, above that of the vessel, to 70 MPa.</param>
    /// <param name="exchange">Heat exchange while filling; none for the adiabatic limit.</param>
    /// <exception cref="FillingNotReachableException">The bottle does not reach that pressure.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A stop that is not above the vessel's pressure, or a space without gas.</exception>
    /// <exception cref="OutsideNitrogenRangeException">A state outside the nitrogen range.</exception>
    public static FillOutcome ToPressure(GasSpace vessel, GasSpace bottle, AbsolutePressure stopAt, HeatExchange exchange)
    {
        CheckSpaces(vessel, bottle);
        NitrogenRange.Pressure(stopAt.Pascals, nameof(stopAt));
        if (!(stopAt.Pascals > vessel.Pressure.Pascals))
        {
            throw new ArgumentOutOfRangeException(
                nameof(stopAt), stopAt, $"The vessel has {vessel.Pressure} already; filling stops at a pressure above that.");
        }

        // More gas, more pressure, and gas no colder than four fifths of the shell bounds the amount. Illinois variant of the false
        // position.
        double settledAmount = (vessel with { Pressure = stopAt }).Content.Moles - vessel.Content.Moles;
        (double low, double lowMiss) = (0, vessel.Pressure.Pascals - stopAt.Pascals);
        (double high, double? highMiss) = (Math.Min(1.25 * settledAmount, bottle.Content.Moles), null);
        int lastSide = 0;
        for (int round = 0; round < MostRounds; round++)
        {
            double amount = highMiss is { } miss ? low - (lowMiss * (high - low) / (miss - lowMiss)) : (low + high) / 2;
            double? next = PressureMiss(amount);
            if (next is { } value && Math.Abs(value) <= Accepted * stopAt.Pascals)
            {
                return Reached(amount);
            }

            if (next is null or > 0)
            {
                (high, highMiss) = (amount, next);
                lowMiss = lastSide > 0 ? lowMiss / 2 : lowMiss;
                lastSide = 1;
            }
            else
            {
                (low, lowMiss) = (amount, next.Value);
                highMiss = lastSide < 0 ? highMiss / 2 : highMiss;
                lastSide = -1;
            }
        }

        // The bottle runs too cold or empty before the vessel shows the pressure.
        throw new FillingNotReachableException(stopAt, BottleCascade.Meet(vessel, bottle).Pressure);

        double? PressureMiss(double amount) => Integrate(vessel, bottle, amount, exchange) is { } end
            ? NitrogenState.InWiderRange(end.VesselK, Density(vessel, amount)).PressurePa - stopAt.Pascals
            : null;

        FillOutcome Reached(double amount) => Checked(vessel, bottle, amount, exchange, stopAt);
    }

    /// <summary>Fill so much that the vessel settles at a pressure: the gauge must show <see cref="FillOutcome.PressureNow"/> when the filling ends.</summary>
    /// <param name="vessel">The vessel before, fluid side released, gas and shell at one temperature.</param>
    /// <param name="bottle">The bottle before.</param>
    /// <param name="settled">Absolute pressure wanted once the gas has the vessel's temperature, above that of the vessel, to 70 MPa.</param>
    /// <param name="exchange">Heat exchange while filling; none for the adiabatic limit.</param>
    /// <exception cref="FillingNotReachableException">The bottle does not give that amount by its own pressure.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A target that is not above the vessel's pressure, or a space without gas.</exception>
    /// <exception cref="OutsideNitrogenRangeException">A state outside the nitrogen range.</exception>
    public static FillOutcome ToSettled(GasSpace vessel, GasSpace bottle, AbsolutePressure settled, HeatExchange exchange)
    {
        CheckSpaces(vessel, bottle);
        NitrogenRange.Pressure(settled.Pascals, nameof(settled));
        if (!(settled.Pascals > vessel.Pressure.Pascals))
        {
            throw new ArgumentOutOfRangeException(
                nameof(settled), settled, $"The vessel has {vessel.Pressure} already; a filling ends above that. To go down, bleed.");
        }

        double amount = (vessel with { Pressure = settled }).Content.Moles - vessel.Content.Moles;
        return Checked(vessel, bottle, amount, exchange, settled);
    }

    private static FillOutcome Checked(GasSpace vessel, GasSpace bottle, double amount, HeatExchange exchange, AbsolutePressure wanted)
    {
        FillOutcome? outcome = amount < bottle.Content.Moles && Integrate(vessel, bottle, amount, exchange) is { } end
            ? new FillOutcome(vessel, bottle, amount, end.VesselK, end.BottleK)
            : null;
        return outcome is not null && outcome.BottlePressureNow.Pascals >= outcome.PressureNow.Pascals
            ? outcome
            : throw new FillingNotReachableException(wanted, BottleCascade.Meet(vessel, bottle).Pressure);
    }

    private static void CheckSpaces(GasSpace vessel, GasSpace bottle)
    {
        foreach ((GasSpace space, string name) in new[] { (vessel, nameof(vessel)), (bottle, nameof(bottle)) })
        {
            NitrogenRange.Temperature(space.Temperature.Kelvins, name);
            NitrogenRange.Pressure(space.Pressure.Pascals, name);
            if (!(space.Content.Moles > 0))
            {
                throw new ArgumentOutOfRangeException(
                    name, space, $"The {name} holds no gas. Give its volume and absolute pressure; an open vessel holds ambient pressure.");
            }
        }
    }

    /// <summary>Temperatures at the end; null where the bottle would run empty or a state leaves the range of the equation.</summary>
    private static (double VesselK, double BottleK)? Integrate(GasSpace vessel, GasSpace bottle, double amount, HeatExchange exchange)
    {
        double start = vessel.Content.Moles;
        double held = bottle.Content.Moles;
        double ratio = Math.Log((start + amount) / start) / Steps;
        double vesselK = vessel.Temperature.Kelvins;
        double bottleK = bottle.Temperature.Kelvins;
        double content = start;
        for (int step = 0; step < Steps; step++)
        {
            double next = start * Math.Exp(ratio * (step + 1));
            double seconds = exchange.FillingTime.TotalSeconds * (next - content) / amount;

            // Half the heat before, half after the push: exact for either alone and stable for any time constant.
            Relax(seconds / 2);
            if (Push(content, ratio) is not { } pushed)
            {
                return null;
            }

            (vesselK, bottleK) = pushed;
            Relax(seconds / 2);
            content = next;
        }

        return (vesselK, bottleK);

        void Relax(double seconds)
        {
            if (seconds > 0)
            {
                vesselK = Towards(vesselK, vessel.Temperature, seconds / exchange.VesselTimeConstant.TotalSeconds);
                bottleK = Towards(bottleK, bottle.Temperature, seconds / exchange.BottleTimeConstant.TotalSeconds);
            }
        }

        // Classical Runge-Kutta step of both temperatures over the logarithm of the vessel's content.
        (double VesselK, double BottleK)? Push(double moles, double h)
        {
            if (Slope(moles, vesselK, bottleK) is not { } a
                || Slope(moles * Math.Exp(h / 2), vesselK + (h / 2 * a.Vessel), bottleK + (h / 2 * a.Bottle)) is not { } b
                || Slope(moles * Math.Exp(h / 2), vesselK + (h / 2 * b.Vessel), bottleK + (h / 2 * b.Bottle)) is not { } c
                || Slope(moles * Math.Exp(h), vesselK + (h * c.Vessel), bottleK + (h * c.Bottle)) is not { } d)
            {
                return null;
            }

            double newVesselK = vesselK + (h / 6 * (a.Vessel + (2 * b.Vessel) + (2 * c.Vessel) + d.Vessel));
            double newBottleK = bottleK + (h / 6 * (a.Bottle + (2 * b.Bottle) + (2 * c.Bottle) + d.Bottle));
            return Usable(newVesselK) && Usable(newBottleK) ? (newVesselK, newBottleK) : null;
        }

        // Energy of the open vessel, n du = (h_bottle - u) dn, with u = u(T, rho): n cv dT = (h_bottle - h + T (dp/dT) / rho) dn.
        // The gas left in the bottle expands without loss: n cv dT = T (dp/dT) / rho dn, dn < 0.
        (double Vessel, double Bottle)? Slope(double moles, double gasK, double sourceK)
        {
            double left = held - (moles - start);
            double density = moles / vessel.Volume.CubicMetres;
            if (!(left > 0 && density <= NitrogenRange.HighestMolarDensityMolPerM3 && Usable(gasK) && Usable(sourceK)))
            {
                return null;
            }

            NitrogenState gas = NitrogenState.InWiderRange(gasK, density);
            NitrogenState source = NitrogenState.InWiderRange(sourceK, left / bottle.Volume.CubicMetres);
            double pushed = source.EnthalpyJPerMol - gas.EnthalpyJPerMol + ExpansionWork(gas);
            return (
                pushed / gas.IsochoricHeatCapacityJPerMolK,
                -moles / left * ExpansionWork(source) / source.IsochoricHeatCapacityJPerMolK);
        }
    }

    private static double ExpansionWork(NitrogenState state) => state.TemperatureK * state.IsochoreSlopePaPerK / state.MolarDensityMolPerM3;

    private static double Density(GasSpace space, double added) => (space.Content.Moles + added) / space.Volume.CubicMetres;

    private static bool Usable(double temperatureK) => temperatureK is >= WiderRange.LowestTemperatureK and <= WiderRange.HighestTemperatureK;

    private static double Towards(double gasK, GasTemperature shell, double timeConstants) =>
        shell.Kelvins + ((gasK - shell.Kelvins) * Math.Exp(-timeConstants));
}
