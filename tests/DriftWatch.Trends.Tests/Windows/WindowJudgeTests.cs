using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Uncertainty;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Windows;

public class WindowJudgeTests
{
    private readonly VesselSpecification _vessel = Make.Vessel();

    [Fact]
    public void A_steady_night_shows_the_precharge_whatever_the_temperature()
    {
        PrechargeWindow window = Judge(Rest.Samples(0, 10, _ => 100, hour => 8 + hour))!;
        Assert.Equal(WindowStanding.Accepted, window.Standing);
        Assert.Equal(100e5, window.PrechargePa, 200.0);
        Assert.Equal(0, window.IsochoreSlopePaPerK, 10.0);
        Assert.Equal(61, window.ReadingCount);
        Assert.Equal(Make.Start, window.Start);
    }

    /// <summary>
    /// Budget by hand at 20 degrees C and 100 bar: dp/dT of nitrogen there is some 0.37 bar/K (difference of the equation of
    /// state); 0.15 K of placement, one step of 1/4000 of 250 bar as a rectangle, and 900 Pa of weather.
    /// </summary>
    [Fact]
    public void The_random_part_holds_placement_graininess_and_weather_and_the_shared_part_the_calibrations()
    {
        PrechargeWindow window = Judge(Rest.Samples(0, 10, _ => 100))!;
        double density = NitrogenEquation.MolarDensityMolPerM3(293.15, 100e5);
        double perKelvin = (NitrogenEquation.PressurePa(293.65, density) - NitrogenEquation.PressurePa(292.65, density));
        double step = 250e5 / 4000 / Math.Sqrt(12);
        double readings = step / Math.Sqrt(61 / 4.0);
        double expected = Math.Sqrt(Square(0.15 * perKelvin) + Square(step) + Square(900) + Square(readings));
        Assert.Equal(expected, window.RandomUncertaintyPa, 0.01 * expected);
        double shared = Math.Sqrt(Square(0.2e5) + Square(0.5 * perKelvin) + Square(1e-4 * 100e5));
        Assert.Equal(shared, window.SharedUncertaintyPa, 0.01 * shared);
        double variance = Square(expected) + Square(shared);
        Assert.Equal(
            [
                ("Temperature sensor offset", Sharing.Shared, Math.Round(Square(0.5 * perKelvin) / variance, 3)),
                ("Pressure sensor offset", Sharing.Shared, Math.Round(Square(0.2e5) / variance, 3)),
            ],
            window.Shares.Greatest.OrderByDescending(share => share.ShareOfVariance).Take(2)
                .Select(share => (share.Name, share.Sharing, share.ShareOfVariance)).OrderBy(share => share.Name == "Pressure sensor offset"));
        Assert.Equal(1, window.Shares.Greatest.Sum(share => share.ShareOfVariance), 0.005);
    }

    /// <summary>
    /// The second route: the readings are really late, by lateness spread evenly from 0 to the stated one, and go through the
    /// whole of finding and judging; the root mean square of the precharge's error is what the budget must have gained.
    /// </summary>
    [Theory]
    [InlineData(20, 0)]
    [InlineData(0, 20)]
    [InlineData(5, 20)]
    public void Lateness_of_the_readings_counts_by_the_drift_within_the_window(double pressureMinutes, double temperatureMinutes)
    {
        const int Cases = 40;
        double squares = 0;
        for (int i = 0; i < Cases; i++)
        {
            for (int j = 0; j < Cases; j++)
            {
                double pressureHours = pressureMinutes / 60 * (i + 0.5) / Cases;
                double temperatureHours = temperatureMinutes / 60 * (j + 0.5) / Cases;
                IEnumerable<GasSideSample> late = Rest.Samples(0, 6, _ => 100, hour => 8 + (1.5 * (hour - pressureHours)))
                    .Select(sample => sample with { TemperatureK = sample.TemperatureK + (1.5 * (pressureHours - temperatureHours)) });
                squares += Square(Judge(late)!.PrechargePa - 100e5) / (Cases * Cases);
            }
        }

        // The mean of two independent evenly spread lateness is in the square too: the budget takes them as independent about
        // no lateness, so that where both are late it may only be the wider.
        double seen = Math.Sqrt(squares);
        RestRun run = Rest.Runs(_vessel, Rest.Samples(0, 6, _ => 100, hour => 8 + (1.5 * hour)))[0];
        VesselSpecification stated = _vessel with { PressureLateness = TimeSpan.FromMinutes(pressureMinutes), TemperatureLateness = TimeSpan.FromMinutes(temperatureMinutes) };
        double gained = Math.Sqrt(Square(new WindowJudge(stated).Judge(run)!.RandomUncertaintyPa) - Square(new WindowJudge(_vessel).Judge(run)!.RandomUncertaintyPa));
        bool both = pressureMinutes > 0 && temperatureMinutes > 0;
        Assert.InRange(gained, 0.98 * seen, both ? 1.5 * seen : 1.02 * seen);
        Assert.True(seen > 1000, $"The lateness moved the precharge by {seen} Pa only: nothing was tried.");
    }

    [Fact]
    public void An_absolute_sensor_knows_no_weather()
    {
        VesselSpecification absolute = _vessel with { GasPressureSensor = _vessel.GasPressureSensor with { Kind = PressureKind.Absolute } };
        RestRun run = Rest.Runs(_vessel, Rest.Samples(0, 10, _ => 100))[0];
        double gauge = new WindowJudge(_vessel).Judge(run)!.RandomUncertaintyPa;
        Assert.Equal(Square(900), Square(gauge) - Square(new WindowJudge(absolute).Judge(run)!.RandomUncertaintyPa), 1000.0);
    }

    [Fact]
    public void The_settling_after_a_release_is_trimmed()
    {
        PrechargeWindow window = Judge(Rest.Samples(0, 8, hour => 100 + (1.5 * Math.Exp(-hour / 0.4))))!;
        Assert.Equal(WindowStanding.Accepted, window.Standing);
        Assert.InRange(window.Start - Make.Start, TimeSpan.FromMinutes(40), TimeSpan.FromHours(3));
        Assert.Equal(100e5, window.PrechargePa, 0.1e5);
    }

    [Fact]
    public void A_rest_that_never_settles_is_rejected()
    {
        PrechargeWindow window = Judge(Rest.Samples(0, 8, hour => 100 + (1.5 * hour)))!;
        Assert.Equal(WindowStanding.Rejected, window.Standing);
        Assert.Contains("not settled", window.Reason, StringComparison.Ordinal);
    }

    /// <summary>
    /// 10 % a day: the window is the end of the fall and says that it falls. By hand: an even fall of f bar/h misses the mean of a stretch by
    /// half of what it makes within it, and that is the share of settling in the budget.
    /// </summary>
    [Theory]
    [InlineData(true, 1)]
    [InlineData(true, 10)]
    [InlineData(null, 1)]
    [InlineData(null, 10)]
    public void A_rest_that_falls_evenly_to_its_end_shows_its_end_and_that_it_falls(bool? released, double stepMinutes)
    {
        static double Bar(double hour) => 100 * Math.Exp(-0.1 * hour / 24);
        PrechargeWindow window = Judge(Rest.Samples(0, 14, Bar, hour => 20 + Math.Sin(hour / 3), released: released, stepMinutes: stepMinutes))!;
        Assert.Equal((WindowStanding.Accepted, true), (window.Standing, window.Falls));
        Assert.InRange(window.Start - Make.Start, TimeSpan.FromHours(12.5), TimeSpan.FromHours(13.9));
        Assert.Equal(Bar((window.Middle - Make.Start).TotalHours), window.PrechargePa / 1e5, 0.02);
        double within = (Bar((window.Start - Make.Start).TotalHours) - Bar((window.End - Make.Start).TotalHours)) * 1e5;
        double settling = window.Shares.Greatest.Single(share => share.Name == "Settling").ShareOfVariance
            * (Square(window.RandomUncertaintyPa) + Square(window.SharedUncertaintyPa));
        Assert.InRange(Math.Sqrt(settling), 0.25 * within, 0.5 * within);
        Assert.False(window.IsProvenByIsochore);
    }

    /// <summary>
    /// What also falls to the end of a rest and is no leak: gas that comes to its temperature in three hours, gas that cools from 60
    /// degrees before a sensor that shows a third of it, or that is warmed by itself, and a fall that began in the last hour.
    /// </summary>
    [Fact]
    public void A_rest_that_moves_otherwise_is_rejected_as_not_settled()
    {
        static IEnumerable<GasSideSample> Shown(Func<double, double> gas, Func<double, double> shown) =>
            Rest.Samples(0, 8, _ => 100, gas, released: true).Select(sample =>
                sample with { TemperatureK = 273.15 + shown((sample.Instant - Make.Start).TotalHours) });
        foreach (IEnumerable<GasSideSample> moving in (IEnumerable<GasSideSample>[])
        [
            Rest.Samples(0, 8, hour => 100 + (30 * Math.Exp(-hour / 3)), released: true),
            Shown(hour => 60 - (5 * hour), hour => 60 - (5 * hour / 3)),
            Shown(_ => 20, hour => 20 + (2 * hour)),
            Rest.Samples(0, 8, hour => 100 - (2 * Math.Max(0, hour - 7)), released: true),
        ])
        {
            PrechargeWindow window = Judge(moving)!;
            Assert.Equal(("The gas had not settled by the end of the rest.", false), (window.Reason, window.Falls));
        }
    }

    /// <summary>The sensor shows a third of the true swing of temperature: the pressure moves along another line than it says.</summary>
    [Fact]
    public void A_wrong_temperature_fails_the_isochore_proof()
    {
        IEnumerable<GasSideSample> wrong = Rest.Samples(0, 10, _ => 100, hour => 20 + (4 * Math.Sin(hour * 3)))
            .Select(sample => sample with { TemperatureK = 293.15 + ((sample.TemperatureK - 293.15) / 3) });
        PrechargeWindow window = Judge(wrong)!;
        Assert.Equal(WindowStanding.Rejected, window.Standing);
        Assert.Contains("temperature sensor", window.Reason, StringComparison.Ordinal);
    }

    /// <summary>
    /// A sensor that shows eight tenths of the true swing, a gas that is 15 K above the reference: the slope left over is a quarter
    /// of the gas's own (what 1 / 0.8 is above 1), and over those 15 K it misses what the budget must hold.
    /// </summary>
    [Fact]
    public void What_is_left_of_the_slope_counts_by_the_way_to_the_reference_temperature()
    {
        IEnumerable<GasSideSample> With(double share) => Rest.Samples(0, 10, _ => 100, hour => 35 + (3 * Math.Sin(hour * 2)))
            .Select(sample => sample with { TemperatureK = 308.15 + (share * (sample.TemperatureK - 308.15)) });
        PrechargeWindow right = Judge(With(1))!, wrong = Judge(With(0.8))!;
        Assert.True(right.IsProvenByIsochore && wrong.IsProvenByIsochore);
        double density = NitrogenEquation.MolarDensityMolPerM3(293.15, 100e5);
        double perKelvin = (NitrogenEquation.PressurePa(309.15, density) - NitrogenEquation.PressurePa(307.15, density)) / 2;
        double expected = 0.25 * perKelvin * (wrong.MeanTemperatureK - 293.15);
        double gained = Math.Sqrt(Square(wrong.RandomUncertaintyPa) - Square(right.RandomUncertaintyPa));

        // The swing the wrong sensor cannot explain scatters too, and real gas bends the slope on the way: within a tenth.
        Assert.Equal(expected, gained, 0.1 * expected);
        Assert.Equal("Temperature, leftover slope of the isochore", wrong.Shares.Greatest[0].Name);
    }

    /// <summary>Half a kelvin of movement, or noise that could hide a wrong slope, prove nothing; four kelvins of a quiet gas do.</summary>
    [Theory]
    [InlineData(4, 0, true)]
    [InlineData(0.2, 0, false)]
    [InlineData(0.6, 1, false)]
    public void A_window_says_whether_the_isochore_proved_its_temperature(double swingK, double noiseBar, bool proven)
    {
        var dice = new NormalDice(3);
        PrechargeWindow window = Judge(Rest.Samples(0, 10, _ => 100 + (noiseBar * dice.Next()), hour => 20 + (swingK * Math.Sin(hour)), released: true))!;
        Assert.Equal((WindowStanding.Accepted, proven), (window.Standing, window.IsProvenByIsochore));
    }

    [Fact]
    public void Too_few_readings_say_nothing()
    {
        Assert.Null(Judge(Rest.Samples(0, 0.17, _ => 100)));
        Assert.Null(Judge(Rest.Samples(0, 40 / 3600.0, _ => 100, stepMinutes: 1 / 6.0)));
        Assert.NotNull(Judge(Rest.Samples(0, 40 / 3600.0, _ => 100, released: true, stepMinutes: 1 / 6.0)));
    }

    [Fact]
    public void The_air_left_after_a_burst_is_a_window_however_grainy()
    {
        // One bar absolute on a sensor of 250 bar: it shows now zero, now one step.
        IEnumerable<GasSideSample> burst = Rest.Samples(0, 10, hour => (int)Math.Round(hour * 6) % 3 == 0 ? 1.05 : 1.0);
        PrechargeWindow window = Judge(burst)!;
        Assert.Equal(WindowStanding.Accepted, window.Standing);
        Assert.Equal(1.0e5, window.PrechargePa, 0.05e5);
    }

    /// <summary>Fluid that seeps out with a time constant of 15 hours; a leak of 10 % a month; gas that cools for half an hour.</summary>
    [Fact]
    public void Seeping_fluid_is_told_from_a_leak_and_from_settling()
    {
        Assert.True(Sinks(Rest.Samples(0, 20, hour => 100 * (1 + (0.09 * Math.Exp(-hour / 15))))));
        Assert.False(Sinks(Rest.Samples(0, 20, hour => 100 * (1 - (0.1 * hour / 730)))));
        Assert.False(Sinks(Rest.Samples(0, 20, hour => 100 * (1 + (0.05 * Math.Exp(-hour / 0.2))))));
        Assert.False(Sinks(Rest.Samples(0, 20, hour => 100 * (1 + (0.09 * Math.Exp(-hour / 15))), released: true)));
    }

    private bool Sinks(IEnumerable<GasSideSample> samples) => new WindowJudge(_vessel).Sinks(Rest.Runs(_vessel, samples)[^1]);

    private PrechargeWindow? Judge(IEnumerable<GasSideSample> samples) =>
        new WindowJudge(_vessel).Judge(Assert.Single(Rest.Runs(_vessel, samples)));

    private static double Square(double value) => value * value;
}
