using DriftWatch.Gas.Nitrogen;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Web.Vessels;

/// <summary>A window opened: the raw readings around it, and its gas on the line of constant density.</summary>
/// <param name="Window">The window.</param>
/// <param name="Previous">The window before it, of any standing; null for the first.</param>
/// <param name="Next">The window after it; null for the last.</param>
/// <param name="Pressure">Gas pressure around it, Pa gauge.</param>
/// <param name="Fluid">Fluid-side pressure around it, Pa gauge; empty without a transducer.</param>
/// <param name="Temperature">Gas temperature around it, K.</param>
/// <param name="Gas">Pressure (Pa gauge) against temperature (K) inside the window.</param>
/// <param name="Isochore">Pressure (Pa gauge) on the line of constant density through the window's mean, against temperature (K).</param>
/// <param name="Cut">Whether there are more readings than are shown.</param>
/// <param name="Note">What the reader should know of where the readings come from; null when there is nothing to say.</param>
public sealed record WindowView(
    PrechargeWindow Window,
    PrechargeWindow? Previous,
    PrechargeWindow? Next,
    IReadOnlyList<TimedValue> Pressure,
    IReadOnlyList<TimedValue> Fluid,
    IReadOnlyList<TimedValue> Temperature,
    IReadOnlyList<GasPoint> Gas,
    IReadOnlyList<GasPoint> Isochore,
    bool Cut,
    string? Note)
{
    private const int MostReadings = 20_000;

    private const int StepsOfIsochore = 20;

    private static readonly TimeSpan LeastAround = TimeSpan.FromMinutes(30);

    private static readonly TimeSpan MostAround = TimeSpan.FromHours(6);

    public static async Task<WindowView> OpenAsync(
        IReadingHistory history, Vessel vessel, IReadOnlyList<PrechargeWindow> windows, PrechargeWindow window, CancellationToken stop)
    {
        TimeSpan around = TimeSpan.FromTicks(Math.Clamp((window.End - window.Start).Ticks, LeastAround.Ticks, MostAround.Ticks));
        (IReadOnlyList<Reading> readings, string? note) = await history.FirstAsync(vessel.Id, window.Start - around, window.End + around, MostReadings, stop);
        VesselSpecification specification = vessel.Specification;
        double ambientPa = specification.Ambient.Pascals;
        double Gauge(double pascals, PressureSensor? sensor) => sensor?.Kind == PressureKind.Absolute ? pascals - ambientPa : pascals;

        List<TimedValue> pressure = [], fluid = [], temperature = [];
        List<GasPoint> gas = [];
        double kelvins = double.NaN;
        foreach (Reading reading in readings)
        {
            switch (reading.Signal)
            {
                case Signal.GasTemperature:
                    kelvins = reading.Value;
                    temperature.Add(new TimedValue(reading.Instant, reading.Value));
                    break;
                case Signal.FluidPressure:
                    fluid.Add(new TimedValue(reading.Instant, Gauge(reading.Value, specification.FluidPressureSensor)));
                    break;
                case Signal.GasPressure:
                    double gauge = Gauge(reading.Value, specification.GasPressureSensor);
                    pressure.Add(new TimedValue(reading.Instant, gauge));
                    if (reading.Instant >= window.Start && reading.Instant <= window.End && double.IsFinite(kelvins))
                    {
                        gas.Add(new GasPoint(kelvins, gauge));
                    }

                    break;
            }
        }

        int at = windows.ToList().IndexOf(window);
        return new WindowView(
            window,
            at > 0 ? windows[at - 1] : null,
            at >= 0 && at < windows.Count - 1 ? windows[at + 1] : null,
            pressure, fluid, temperature, gas,
            IsochoreThrough(window, gas, specification.ReferenceTemperature.Kelvins, ambientPa),
            readings.Count == MostReadings,
            note);
    }

    /// <summary>From the gas to the reference temperature: the line on which the window is brought there.</summary>
    private static List<GasPoint> IsochoreThrough(PrechargeWindow window, List<GasPoint> gas, double referenceK, double ambientPa)
    {
        double low = Math.Min(referenceK, window.MeanTemperatureK), high = Math.Max(referenceK, window.MeanTemperatureK);
        foreach (GasPoint point in gas)
        {
            low = Math.Min(low, point.TemperatureK);
            high = Math.Max(high, point.TemperatureK);
        }

        List<GasPoint> line = [];
        for (int step = 0; step <= StepsOfIsochore; step++)
        {
            double kelvins = low + ((high - low) * step / StepsOfIsochore);
            try
            {
                line.Add(new GasPoint(kelvins, IsochoricCorrection.PressureAtReferencePa(window.MeanPressurePa, window.MeanTemperatureK, kelvins) - ambientPa));
            }
            catch (OutsideNitrogenRangeException)
            {
                // The line ends where the equation of state does.
            }
        }

        return line;
    }
}
