using DriftWatch.Gas.Nitrogen;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Tests;

/// <summary>
/// A vessel day by day, its truth given: work from midnight to 10 o'clock unless it always rests, then a rest of 14 hours in which
/// the gas, cold from its release, comes to its temperature while the sensor follows behind. Days count from <see cref="Make.Start"/>.
/// </summary>
internal sealed record SimulatedDays
{
    /// <summary>Precharge by the day, bar absolute at 20 degrees C.</summary>
    public required Func<double, double> PrechargeBar { get; init; }

    /// <summary>Share by which fluid left in the vessel lifts the pressure at rest, by the day.</summary>
    public Func<double, double> Lift { get; init; } = _ => 0;

    /// <summary>Temperature of the room by the day, degrees C.</summary>
    public Func<double, double> Room { get; init; } = day => 20 + (2 * Math.Sin(2 * Math.PI * day)) + Math.Sin(day / 3);

    public double StepMinutes { get; init; } = 1;

    public bool FluidKnown { get; init; }

    public bool AlwaysRests { get; init; }

    /// <summary>By how much the release leaves the gas from its temperature, K; with which time constant it comes back; how far the sensor follows behind, hours.</summary>
    public double ReleaseK { get; init; } = -15;

    public double SettlingHours { get; init; } = 0.25;

    public double LagHours { get; init; } = 1 / 30.0;

    /// <summary>Standard deviation of the pressure readings, bar.</summary>
    public double NoiseBar { get; init; } = 0.02;

    /// <summary>What the temperature sensor makes of the temperature at it, by the day and degrees C.</summary>
    public Func<double, double, double> Shown { get; init; } = (_, celsius) => celsius;

    public IReadOnlyList<GasSideWork> Work { get; init; } = [];

    public VesselSpecification Vessel => Make.Vessel(FluidKnown ? new PressureSensor(PressureKind.Gauge, 0, 250e5, 0.2e5) : null);

    /// <summary>The readings of some days, in order.</summary>
    public IEnumerable<Reading> Readings(double from, double to, int seed = 1)
    {
        var dice = new NormalDice(seed);
        long steps = (long)Math.Round((to - from) * 1440 / StepMinutes);
        for (long i = 0; i < steps; i++)
        {
            double day = from + (i * StepMinutes / 1440);
            DateTimeOffset at = Make.Start.AddMinutes(Math.Round(day * 1440));
            double hour = (day - Math.Floor(day)) * 24;
            bool works = !AlwaysRests && hour < 10;
            double since = hour - 10;
            double gas = Room(day), sensor = gas;
            if (!works && !AlwaysRests)
            {
                // A first-order sensor behind a gas that comes back by one exponential, exactly.
                gas += ReleaseK * Math.Exp(-since / SettlingHours);
                sensor += ReleaseK * ((SettlingHours * Math.Exp(-since / SettlingHours)) - (LagHours * Math.Exp(-since / LagHours))) / (SettlingHours - LagHours);
            }

            double rest = PrechargeBar(day) * (1 + (works ? 0 : Lift(day)));
            double bar = works
                ? (hour * 6 % 2 < 1 ? 130 : 200)
                : IsochoricCorrection.PressureAtReferencePa(Math.Max(1.02, rest) * 1e5, 293.15, gas + 273.15) / 1e5;
            yield return new Reading(Signal.GasTemperature, at, Math.Round((Shown(day, sensor) + 273.15) * 100) / 100);
            if (FluidKnown)
            {
                yield return new Reading(Signal.FluidPressure, at, works ? (bar - 1) * 1e5 : 0);
            }

            // Steps of 1/4000 of the span.
            yield return new Reading(Signal.GasPressure, at, Math.Max(0, Math.Round((bar - 1 + (NoiseBar * dice.Next())) / 0.0625) * 0.0625e5));
        }
    }

    /// <summary>The day on which the verdict, asked at every change of points and at least daily, first calls for work; null for never.</summary>
    public (double Day, Verdict Verdict, double TrueBar, VesselTracker Tracker)? Called(double to)
    {
        var tracker = new VesselTracker(Vessel, Work, TrackerState.Start, [], []);
        double asked = 1;
        foreach (Reading reading in Readings(0, to).Order())
        {
            double day = (reading.Instant - Make.Start).TotalDays;
            if ((tracker.Accept(reading) || day >= asked)
                && tracker.Assess(reading.Instant) is { Verdict: Verdict.FallingFasterThanAllowed or Verdict.BelowLowerLimit or Verdict.AboveUpperLimit } now)
            {
                return (day, now.Verdict, PrechargeBar(day), tracker);
            }

            asked = day >= asked ? day + 1 : asked;
        }

        return null;
    }
}
