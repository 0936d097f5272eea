using CsCheck;
using DriftWatch.Gas.Leaks;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Tests.Leaks;

public class LeakRateTests
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);
    private static readonly GasVolume TenLitres = GasVolume.FromLitres(10);

    /// <summary>
    /// 40 CFR 1065.644, worked example: V_vac 2.0000 l, 25.300 to 50.600 kPa at 293.15 K from 10:56:25 to 10:57:35, R 8.314472.
    /// By its equation 0.002 x 25300 / (8.314472 x 293.15 x 70) = 2.96565e-4 mol/s; R of 2019 differs by 1.1e-6. The regulation
    /// prints 0.00030 mol/s (from memory).
    /// </summary>
    [Fact]
    public void Worked_example_of_40_CFR_1065_644()
    {
        double inflow = VacuumDecayLeakRate.InflowMolPerS(
            GasVolume.FromLitres(2),
            AbsolutePressure.FromPascals(25_300),
            GasTemperature.FromKelvins(293.15),
            AbsolutePressure.FromPascals(50_600),
            GasTemperature.FromKelvins(293.15),
            new TimeOnly(10, 57, 35) - new TimeOnly(10, 56, 25));
        Assert.Equal(0.002 * 25_300 / (8.314472 * 293.15 * 70), inflow, 1e-9);
        Assert.Equal("0.00030", inflow.ToString("F5", System.Globalization.CultureInfo.InvariantCulture));
    }

    [Fact]
    public void Thin_gas_between_readings_is_the_regulation_with_the_sign_of_outflow() =>
        Gen.Select(Gen.Double[100, 1000], Gen.Double[100, 1000], Gen.Double[240, 370], Gen.Double[240, 370]).Sample((p1, p2, t1, t2) =>
        {
            var (start, end) = (AbsolutePressure.FromPascals(p1), AbsolutePressure.FromPascals(p2));
            var (from, to) = (GasTemperature.FromKelvins(t1), GasTemperature.FromKelvins(t2));
            double real = LeakRate.BetweenReadings(TenLitres, start, from, end, to, TimeSpan.FromHours(1)).MolesPerSecond;
            double ideal = -VacuumDecayLeakRate.InflowMolPerS(TenLitres, start, from, end, to, TimeSpan.FromHours(1));
            double scale = 0.01 * Math.Max(p1, p2) / (8.314 * 240 * 3600);
            Assert.InRange(Math.Abs(real - ideal), 0, 3e-5 * scale);
        });

    [Fact]
    public void Trend_and_readings_tell_the_same_rate() => Gen.Double[1e5, 60e6].Sample(p =>
    {
        // A loss of one millionth in a day at constant temperature.
        double lost = 1e-6 * p;
        double trend = LeakRate.FromPressureTrend(-lost / 86_400, AbsolutePressure.FromPascals(p), Twenty, TenLitres).MolesPerSecond;
        double readings = LeakRate.BetweenReadings(
            TenLitres, AbsolutePressure.FromPascals(p + (lost / 2)), Twenty, AbsolutePressure.FromPascals(p - (lost / 2)), Twenty,
            TimeSpan.FromDays(1)).MolesPerSecond;
        Assert.InRange(Math.Abs(trend - readings), 0, 1e-6 * readings);
        Assert.True(trend > 0);
    });

    [Fact]
    public void Real_gas_at_100_bar_shows_against_the_ideal_rate()
    {
        // Neighbouring reference states at 293.15 K (9 and 14 MPa, same source as the equation's reference states): the chord of
        // density over pressure bounds the real rate; the ideal rate is 1 / (R T).
        double chord = (5655.684407 - 3698.493889) / 5e6;
        double atNine = LeakRate.FromPressureTrend(-1, AbsolutePressure.FromPascals(9e6), Twenty, GasVolume.FromCubicMetres(1)).MolesPerSecond;
        double atFourteen = LeakRate.FromPressureTrend(-1, AbsolutePressure.FromPascals(14e6), Twenty, GasVolume.FromCubicMetres(1)).MolesPerSecond;
        Assert.InRange(chord, atFourteen, atNine);
    }

    [Fact]
    public void Units_follow_from_their_definitions()
    {
        // 1 mol/s of ideal gas at 0 degrees C is 22.41397 standard litres a second (CODATA).
        LeakRate rate = LeakRate.FromMolesPerSecond(1e-6);
        Assert.Equal(22.41397e-6 * 1000 * 60, rate.StandardCubicCentimetresPerMinute(StandardCondition.Din1343), 1e-7);
        Assert.Equal(22.41397e-6 * 86_400 * 365.25 / 12, rate.StandardLitresPerMonth(StandardCondition.Din1343), 1e-4);
        Assert.Equal(28.0134e-6 * 86_400 * 365.25, rate.GramsPerYear, 1e-6);

        // p V of one mole at 0 degrees C: 101 325 Pa times 0.02241397 m3.
        double pv = rate.PascalCubicMetresPerSecondAt(GasTemperature.FromDegreesCelsius(0));
        Assert.Equal(101_325 * 0.02241397e-6, pv, 1e-9);

        // 1 mbar l/s = 100 Pa x 0.001 m3 / s = 0.1 Pa m3/s.
        Assert.Equal(pv / 0.1, rate.MillibarLitresPerSecondAt(GasTemperature.FromDegreesCelsius(0)), 1e-12);
        Assert.Equal(1e-6, LeakRate.FromPascalCubicMetresPerSecond(pv, GasTemperature.FromDegreesCelsius(0)).MolesPerSecond, 1e-18);
    }

    [Fact]
    public void Refuses_a_rate_without_time_or_number()
    {
        AbsolutePressure p = AbsolutePressure.FromBar(100);
        Assert.Throws<ArgumentOutOfRangeException>(() => LeakRate.BetweenReadings(TenLitres, p, Twenty, p, Twenty, TimeSpan.Zero));
        Assert.Throws<ArgumentOutOfRangeException>(() => VacuumDecayLeakRate.InflowMolPerS(TenLitres, p, Twenty, p, Twenty, TimeSpan.FromSeconds(-1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => VacuumDecayLeakRate.InflowMolPerS(TenLitres, p, default, p, Twenty, TimeSpan.FromSeconds(1)));
        Assert.Throws<ArgumentOutOfRangeException>(() => LeakRate.FromMolesPerSecond(double.NaN));
        Assert.Throws<ArgumentOutOfRangeException>(() => LeakRate.FromPascalCubicMetresPerSecond(1e-5, default));
        Assert.Throws<OutsideNitrogenRangeException>(() => LeakRate.FromPressureTrend(-1, AbsolutePressure.FromBar(701), Twenty, TenLitres));
    }
}
