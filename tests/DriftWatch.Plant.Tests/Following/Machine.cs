using DriftWatch.Gas.Nitrogen;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Plant.Tests.Following;

/// <summary>Readings of the vessel of <see cref="Bench"/> on a machine that works ten hours a day and rests until the next morning.</summary>
internal static class Machine
{
    private const int MinutesApart = 10;

    /// <summary>Gas temperature and gas pressure, every ten minutes.</summary>
    /// <param name="fromDay">First day, from <see cref="Bench.Start"/> on.</param>
    /// <param name="days">Days.</param>
    /// <param name="prechargeBarGauge">Precharge at 20 degrees C by the day.</param>
    public static IEnumerable<Reading> Days(int fromDay, int days, Func<double, double> prechargeBarGauge)
    {
        for (int minute = 0; minute < days * 1440; minute += MinutesApart)
        {
            double day = fromDay + (minute / 1440.0);
            DateTimeOffset at = Bench.Start.AddDays(fromDay).AddMinutes(minute);
            double kelvins = 293.15 + (4 * Math.Sin(40 * day));
            double pascals = minute % 1440 < 600
                ? minute / MinutesApart % 2 == 0 ? 130e5 : 180e5
                : IsochoricCorrection.PressureAtReferencePa((prechargeBarGauge(day) * 1e5) + Bench.Ambient.Pascals, 293.15, kelvins) - Bench.Ambient.Pascals;
            yield return new Reading(Signal.GasTemperature, at, kelvins);
            yield return new Reading(Signal.GasPressure, at, pascals);
        }
    }

    /// <summary>A current on a loop of 4 to 20 mA as the gas pressure sensor's pressure, Pa.</summary>
    public static double Loop(double milliamperes) => (milliamperes - 4) / 16 * 250e5;
}
