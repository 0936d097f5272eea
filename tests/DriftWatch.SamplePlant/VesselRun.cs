using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.SamplePlant;

/// <summary>
/// Lives through a script minute by minute: air, shell, gas and temperature sensor each follow the one before with a
/// first-order lag; each change of the gas volume swings the gas temperature; the logger takes its samples.
/// </summary>
/// <remarks>
/// Resting gas, shut-in gas and the amount of gas come from the equation of state. The swings are polytropic: over seconds to
/// a minute the walls give or take some heat, so the index lies below the adiabatic 1.4.
/// </remarks>
public static class VesselRun
{
    private const double CelsiusZeroK = 273.15;
    private const double SwingIndex = 1.25;
    private const double WorkingWarmthK = 9;
    private const double ChargingWarmthK = 6;

    /// <summary>Coldest gas after a release: the walls of the vessel hold it up.</summary>
    private const double ColdestAfterReleaseK = 238;

    /// <summary>The temperature sensor is minutes slow, the cycles take seconds: so much of the swing it still shows.</summary>
    private const double SwingSeenBySensor = 0.03;

    private const double BarometerDeviationPa = 700;

    private const double BarometerMemoryHours = 48;

    /// <summary>Readings in the order of their time, from <paramref name="from"/> to before <paramref name="to"/>; the same whatever the period.</summary>
    public static IEnumerable<LoggedReading> Readings(VesselScript script, ulong seed, DateTimeOffset from, DateTimeOffset to)
    {
        return LoggerFaults.Of(script, seed, Samples(script, seed)
            .SkipWhile(sample => sample.Reading.Time < from)
            .TakeWhile(sample => sample.Reading.Time < to)
            .Select(sample => sample.Reading));
    }

    /// <summary>All samples of a script in the order of their time, beside the truth; none in its gap.</summary>
    public static IEnumerable<Sample> Samples(VesselScript script, ulong seed)
    {
        Dice Random(string purpose) => new(seed, script.Id, purpose);

        var gasSide = new GasSide(script);
        IReadOnlyList<Stretch> stretches = Timetable(script, seed);
        int minutes = stretches[^1].EndMinute;
        double[] airC = script.Climate.HourlyC(script.Start, (minutes / 60) + 1, Random("air"));
        double[] barometerPa = BarometerHourlyPa(script.BarometricPa, (minutes / 60) + 1, Random("barometer"));
        var sensors = new Sensors(script, Random("calibration"), Random("noise"));
        Dice cycles = Random("cycles");
        Dice placement = Random("placement");
        double placementK = 0;
        DateTimeOffset firstSecond = script.Start.AddSeconds(Random("logger").Whole(0, 59));

        var warmth = new Warmth(script, airC[0] + CelsiusZeroK);
        int index = -1;
        double densityMolPerM3 = gasSide.AmountMol(script.Start) / gasSide.GasVolumeM3(script.Start);
        var charges = script.Recharges.Select(recharge => (int)(recharge.At - script.Start).TotalMinutes).ToHashSet();
        for (int minute = 0; minute < minutes; minute++)
        {
            DateTimeOffset now = firstSecond.AddMinutes(minute);
            if (index < 0 || minute == stretches[index].EndMinute)
            {
                index++;
                placementK = script.PlacementErrorK * placement.Normal();
                (densityMolPerM3, warmth.GasK) = Enter(script, gasSide, stretches[index], now, densityMolPerM3, warmth.GasK);
            }

            if (charges.Contains(minute))
            {
                warmth.GasK += ChargingWarmthK;
            }

            Stretch stretch = stretches[index];
            bool works = stretch.State == FluidState.Working;
            warmth.PassMinute(Between(airC, minute) + CelsiusZeroK + (works ? WorkingWarmthK : 0));

            Stretch? next = index + 1 < stretches.Count ? stretches[index + 1] : null;
            if (!script.Logging.IsDue(minute, stretch, next))
            {
                continue;
            }

            // One place in the cycle a sample, drawn whether the machine works or not.
            double phase = cycles.Uniform();
            double gasK = warmth.GasK;
            double amountMol = gasSide.AmountMol(now);
            double volumeM3 = gasSide.GasVolumeM3(now);
            double airPa = Between(barometerPa, minute);
            double restPa = gasSide.IsBurst(now) ? airPa : NitrogenEquation.PressurePa(gasK, amountMol / volumeM3);
            double fluidGaugePa = FluidGaugePa(
                script, stretch, minute, phase, gasK, amountMol / volumeM3, densityMolPerM3, gasSide.IsBurst(now), airPa);
            double gasPa = Math.Max(restPa, fluidGaugePa + airPa);
            double swingK = works && !gasSide.IsBurst(now) ? SwingK(script, gasPa, gasK) : 0;

            var truth = new TrueState(stretch.State, minute - stretch.StartMinute, gasPa, gasK, warmth.SensorK, amountMol, volumeM3);
            LoggedReading reading = sensors.Read(now, gasPa, airPa, warmth.SensorK + placementK + (SwingSeenBySensor * swingK), fluidGaugePa, stretch.State);
            if (script.Gap is { } gap && now >= gap.From && now < gap.To)
            {
                continue;
            }

            yield return new Sample(reading, truth);
        }
    }

    /// <summary>The states of the fluid side over the whole script.</summary>
    public static IReadOnlyList<Stretch> Timetable(VesselScript script, ulong seed)
    {
        return script.Shifts.Timetable(
            script.Start,
            script.End,
            script.TrappedShare,
            script.NeverReleasedFrom,
            [.. script.Recharges.Select(recharge => recharge.At)],
            new Dice(seed, script.Id, "shifts"));
    }

    /// <summary>Density and temperature of the gas once a stretch has begun.</summary>
    private static (double DensityMolPerM3, double GasK) Enter(
        VesselScript script, GasSide gasSide, Stretch stretch, DateTimeOffset now, double beforeMolPerM3, double beforeK)
    {
        double densityMolPerM3 = Density(script, gasSide, stretch, now, beforeK);
        if (gasSide.IsBurst(now))
        {
            return (densityMolPerM3, beforeK);
        }

        double gasK = Swung(densityMolPerM3);

        // Where the pressure is given, the warmth of the swing counts in the density that it takes: once more is enough.
        densityMolPerM3 = Density(script, gasSide, stretch, now, gasK);
        return (densityMolPerM3, Swung(densityMolPerM3));

        double Swung(double toMolPerM3)
        {
            double swungK = beforeK * Math.Pow(toMolPerM3 / beforeMolPerM3, SwingIndex - 1);
            return Math.Max(swungK, Math.Min(beforeK, ColdestAfterReleaseK));
        }
    }

    /// <summary>Density of the gas at the start of a stretch: the mean of the cycle, the rest, or what fluid shut in leaves.</summary>
    private static double Density(VesselScript script, GasSide gasSide, Stretch stretch, DateTimeOffset now, double gasK)
    {
        double restMolPerM3 = gasSide.AmountMol(now) / gasSide.GasVolumeM3(now);
        double level = stretch.State == FluidState.Working ? 0.5 : stretch.Level;
        double gaugeBar = script.P1BarGauge + (level * (script.P2BarGauge - script.P1BarGauge));
        return stretch.State switch
        {
            FluidState.Released => restMolPerM3,
            FluidState.Trapped => restMolPerM3 * (1 + stretch.Level),
            _ => Math.Max(restMolPerM3, NitrogenEquation.MolarDensityMolPerM3(gasK, script.BarometricPa + (gaugeBar * 1e5))),
        };
    }

    private static double FluidGaugePa(
        VesselScript script, Stretch stretch, int minute, double phase, double gasK, double restMolPerM3, double shutInMolPerM3, bool burst, double airPa)
    {
        switch (stretch.State)
        {
            case FluidState.Working:
                return (script.P1BarGauge + (phase * (script.P2BarGauge - script.P1BarGauge))) * 1e5;
            case FluidState.Released:
                return 0;
            case FluidState.Held or FluidState.Trapped when burst:
                // No gas to hold the pressure up: the shut-in fluid is stiff and loses it almost at once.
                return 0;
            default:
                double left = Math.Exp(-(minute - stretch.StartMinute) / 60.0 / stretch.SeepHours);
                double density = restMolPerM3 + ((shutInMolPerM3 - restMolPerM3) * left);
                return Math.Max(0, NitrogenEquation.PressurePa(gasK, density) - airPa);
        }
    }

    private static double SwingK(VesselScript script, double gasPa, double gasK)
    {
        double meanPa = script.BarometricPa + ((script.P1BarGauge + script.P2BarGauge) / 2 * 1e5);
        return gasK * (Math.Pow(gasPa / meanPa, (SwingIndex - 1) / SwingIndex) - 1);
    }

    private static double[] BarometerHourlyPa(double meanPa, int hours, Dice random)
    {
        var air = new double[hours + 1];
        double keep = Math.Exp(-1 / BarometerMemoryHours);
        double fresh = Math.Sqrt(1 - (keep * keep));
        double deviation = random.Normal();
        for (int hour = 0; hour <= hours; hour++)
        {
            deviation = (keep * deviation) + (fresh * random.Normal());
            air[hour] = meanPa + (BarometerDeviationPa * deviation);
        }

        return air;
    }

    private static double Between(double[] hourly, int minute)
    {
        double part = minute % 60 / 60.0;
        return (hourly[minute / 60] * (1 - part)) + (hourly[(minute / 60) + 1] * part);
    }
}
