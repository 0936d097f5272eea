using DriftWatch.Gas.Nitrogen;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests;

/// <summary>Samples of a gas whose precharge and temperature are given, every ten minutes unless said otherwise.</summary>
internal static class Rest
{
    /// <summary>Samples from <see cref="Make.Start"/> plus a number of hours on.</summary>
    /// <param name="fromHour">First sample, hours after <see cref="Make.Start"/>.</param>
    /// <param name="hours">Length.</param>
    /// <param name="prechargeBar">Precharge, bar absolute at 20 degrees C, by the hours since the first sample.</param>
    /// <param name="celsius">Gas temperature by the hours since the first sample.</param>
    /// <param name="released">Fluid side: released, under pressure, not known.</param>
    /// <param name="contact">Whether the contact says so.</param>
    /// <param name="stepMinutes">Time between two samples.</param>
    public static IEnumerable<GasSideSample> Samples(
        double fromHour, double hours, Func<double, double> prechargeBar, Func<double, double>? celsius = null,
        bool? released = null, bool contact = false, double stepMinutes = 10)
    {
        for (double hour = 0; hour <= hours; hour += stepMinutes / 60)
        {
            double kelvins = 273.15 + (celsius?.Invoke(hour) ?? 20);
            double pressurePa = IsochoricCorrection.PressureAtReferencePa(prechargeBar(hour) * 1e5, 293.15, kelvins);
            yield return new GasSideSample(Make.Start.AddHours(fromHour + hour), pressurePa, kelvins, released, contact);
        }
    }

    /// <summary>A machine at work: 130 to 200 bar, by turns.</summary>
    public static IEnumerable<GasSideSample> Work(double fromHour, double hours, bool? released = null) =>
        Samples(fromHour, hours, hour => hour * 6 % 2 < 1 ? 130 : 200, released: released);

    /// <summary>The runs that end when all samples have been taken in, and the one still going on.</summary>
    public static List<RestRun> Runs(VesselSpecification vessel, IEnumerable<GasSideSample> samples, params DateTimeOffset[] charges)
    {
        var finder = new WindowFinder(vessel, [.. charges.Select(charge => new GasSideWork(charge, GasSideWorkKind.Charge))], TrackerState.Start.Finder);
        List<RestRun> runs = [.. samples.Select(finder.Accept).OfType<RestRun>()];
        if (finder.State.Run is { } open)
        {
            runs.Add(open);
        }

        return runs;
    }

    /// <summary>The same samples as readings of a gauge sensor and a thermometer.</summary>
    public static IEnumerable<Reading> Readings(IEnumerable<GasSideSample> samples) => samples.SelectMany(sample => (Reading[])
    [
        new(Signal.GasTemperature, sample.Instant, sample.TemperatureK),
        new(Signal.GasPressure, sample.Instant, sample.PressurePa - 1e5),
    ]);
}
