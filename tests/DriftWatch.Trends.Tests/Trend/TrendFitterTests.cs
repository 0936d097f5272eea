using CsCheck;
using DriftWatch.Trends.Tests.Regression;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Trend;

public class TrendFitterTests
{
    private const double Allowed = 0.03;
    private const double Alpha = 0.01;

    /// <summary>Days, bar about 100 and uncertainty of 3 to 40 points, the instants distinct.</summary>
    private static readonly Gen<(double Day, double Bar, double Uncertainty)[]> Points =
        Gen.Select(Gen.Int[0, 700], Gen.Double[99, 101], Gen.Double[0.05, 0.5])
            .Array[3, 40]
            .Select(points => points.DistinctBy(point => point.Item1).OrderBy(point => point.Item1)
                .Select(point => ((double)point.Item1, point.Item2, point.Item3)).ToArray())
            .Where(points => points.Length >= 3);

    [Theory]
    [InlineData(2)]
    [InlineData(3)]
    [InlineData(5)]
    [InlineData(6)]
    [InlineData(25)]
    [InlineData(200)]
    public void An_exact_line_is_recovered(int count)
    {
        const double barPerDay = -0.02;
        TrendFit fit = Fit([.. Enumerable.Range(0, count).Select(i => Make.Window(i * 1.5, 100 + (barPerDay * i * 1.5), 0.05 + (0.01 * (i % 7))))]);
        Assert.Equal(barPerDay * 1e5 / 86400, fit.SlopePaPerSecond, 1e-9);
        Assert.Equal(100e5, fit.LevelAtPa(Make.Start.AddHours(3)), 1e-3);
        Assert.Equal(count, fit.PointCount);
    }

    /// <summary>
    /// 0.2 bar a month that grows by e in thirty days from day 30 on, seen by quiet sensors. The bend is no error: when 2 bar a month are lost the leak
    /// is known, and level and loss are those of now and not the mean of months.
    /// </summary>
    [Theory]
    [InlineData(0.005)]
    [InlineData(0.05)]
    public void A_leak_that_grows_is_proven_as_it_grows(double noiseBar)
    {
        const double month = 365.25 / 12;
        var dice = new NormalDice(5);
        double Bar(double day) => 100 - (0.2 / month * (day < 30 ? day : 30 * Math.Exp((day - 30) / 30)));
        PrechargeWindow[] windows = [.. Enumerable.Range(0, 147).Select(day => Make.Window(day, Bar(day) + (noiseBar * dice.Next())))];
        double allowed = Make.Vessel().AllowedLossPaPerSecond;
        int proven = Enumerable.Range(20, 128).First(count => TrendFitter.Fit(windows.Take(count), allowed, 0.006).SequentialSlopeHighPaPerSecond < -allowed);
        Assert.InRange(proven, 80, 30 + (30 * Math.Log(2.6 / 0.2)));
        for (int count = proven + 10; count <= windows.Length; count++)
        {
            TrendFit fit = TrendFitter.Fit(windows.Take(count), allowed, 0.006);
            Assert.True(fit.SequentialSlopeHighPaPerSecond < -allowed, $"not proven any more with {count} points");
            Assert.Equal(Bar(count - 1), fit.LevelAtPa(windows[count - 1].Middle) / 1e5, 0.6);
        }
    }

    [Fact]
    public void One_point_or_one_instant_is_no_trend()
    {
        Assert.Throws<ArgumentException>(() => Fit([Make.Window(0, 100)]));
        Assert.Throws<ArgumentException>(() => Fit([Make.Window(1, 100), Make.Window(1, 101)]));
    }

    /// <summary>Another unit and another zero of pressure: line, uncertainties and intervals follow.</summary>
    [Fact]
    public void The_fit_follows_scale_and_zero_of_the_pressure() => Gen.Select(Points, Gen.Double[0.1, 10], Gen.Double[-50, 50]).Sample((points, factor, offset) =>
    {
        TrendFit fit = Fit([.. points.Select(p => Make.Window(p.Day, p.Bar, p.Uncertainty))]);
        TrendFit other = TrendFitter.Fit(
            [.. points.Select(p => Make.Window(p.Day, (factor * p.Bar) + offset, factor * p.Uncertainty))], factor * Allowed, Alpha);
        double unit = factor * fit.SlopeUncertaintyPaPerSecond;
        Assert.Equal(factor * fit.SlopePaPerSecond, other.SlopePaPerSecond, 1e-5 * unit);
        Assert.Equal((factor * fit.LevelPa) + (offset * 1e5), other.LevelPa, 1e-5 * factor * fit.LevelRandomUncertaintyPa);
        Assert.Equal(unit, other.SlopeUncertaintyPaPerSecond, 1e-5 * unit);
        double half = fit.SequentialSlopeHighPaPerSecond - fit.SlopePaPerSecond;
        double otherHalf = other.SequentialSlopeHighPaPerSecond - other.SlopePaPerSecond;
        Assert.True(double.IsPositiveInfinity(half) ? double.IsPositiveInfinity(otherHalf) : Math.Abs((factor * half) - otherHalf) <= 1e-5 * otherHalf);
    });

    /// <summary>Another zero and another unit of time.</summary>
    [Fact]
    public void The_fit_follows_scale_and_zero_of_time() => Gen.Select(Points, Gen.Int[2, 5], Gen.Int[-300, 300]).Sample((points, factor, shift) =>
    {
        PrechargeWindow At(double day, (double Day, double Bar, double Uncertainty) p) => Make.Window(day, p.Bar, p.Uncertainty);
        TrendFit fit = Fit([.. points.Select(p => At(p.Day, p))]);
        TrendFit other = TrendFitter.Fit([.. points.Select(p => At((factor * p.Day) + shift, p))], Allowed / factor, Alpha);
        double unit = fit.SlopeUncertaintyPaPerSecond / factor;
        Assert.Equal(fit.SlopePaPerSecond / factor, other.SlopePaPerSecond, 1e-5 * unit);
        Assert.Equal(fit.LevelPa, other.LevelPa, 1e-5 * fit.LevelRandomUncertaintyPa);
        Assert.Equal(unit, other.SlopeUncertaintyPaPerSecond, 1e-5 * unit);
    });

    /// <summary>
    /// With fewer than four points the fit is plain weighted least squares: the general solution by orthogonal factors must
    /// give the same line, and the same variance once the scatter is pooled with four degrees of freedom of the budget.
    /// </summary>
    [Fact]
    public void Weights_count_as_in_general_least_squares() => Points.Select(points => points.Take(3).ToArray()).Sample(points =>
    {
        PrechargeWindow[] windows = [.. points.Select(p => Make.Window(p.Day, p.Bar, p.Uncertainty))];
        TrendFit fit = Fit(windows);
        double[][] design = [.. windows.Select(w => (double[])[1, (w.Middle - fit.Origin).TotalSeconds])];
        double[] weights = [.. windows.Select(w => 1 / (w.RandomUncertaintyPa * w.RandomUncertaintyPa))];
        var general = LinearLeastSquares.Fit(design, [.. windows.Select(w => w.PrechargePa)], weights);
        double scatter = general.ResidualStandardDeviation;

        // What the spread in time gives, from values that are never on one line: the windows' own may be, and then show no scatter.
        var bent = LinearLeastSquares.Fit(design, [0, 1, 0], weights);
        double spread = bent.StandardDeviation(1) / bent.ResidualStandardDeviation;
        double pooled = Math.Sqrt((4 + (general.DegreesOfFreedom * scatter * scatter)) / (4 + general.DegreesOfFreedom));
        Assert.Equal(general.Coefficients[0], fit.LevelPa, 1e-6 * fit.LevelPa);
        Assert.Equal(general.Coefficients[1], fit.SlopePaPerSecond, 1e-6 * fit.SlopeUncertaintyPaPerSecond);
        double expected = spread * pooled;
        Assert.Equal(expected, fit.SlopeUncertaintyPaPerSecond, 1e-6 * expected);
    });

    [Fact]
    public void A_vague_point_hardly_counts()
    {
        PrechargeWindow[] good = [.. Enumerable.Range(0, 12).Select(i => Make.Window(i * 7, 100 + (0.1 * Math.Sin(i * 2.1))))];
        PrechargeWindow[] withVague = [.. good, Make.Window(90, 104, 20)];
        TrendFit before = Fit(good);
        TrendFit after = Fit(withVague);
        Assert.True(Math.Abs(after.SlopePaPerSecond - before.SlopePaPerSecond) < 0.05 * before.SlopeUncertaintyPaPerSecond);
    }

    /// <summary>
    /// Gross errors of 10 to 30 uncertainties, all to the same side (fluid shut in reads high): a redescending estimate
    /// gives them no weight, so the line stays within one standard uncertainty of the one without them.
    /// </summary>
    [Theory]
    [InlineData(0.05)]
    [InlineData(0.1)]
    [InlineData(0.2)]
    public void Gross_outliers_do_not_move_the_line(double share)
    {
        for (int seed = 1; seed <= 50; seed++)
        {
            var dice = new NormalDice(seed);
            List<PrechargeWindow> clean = [], all = [];
            for (int i = 0; i < 60; i++)
            {
                double bar = 100 - (0.03 * i) + (0.1 * dice.Next());
                bool gross = dice.Uniform() < share;
                PrechargeWindow window = Make.Window(i * 3, gross ? bar + (0.1 * (10 + (20 * dice.Uniform()))) : bar);
                all.Add(window);
                if (!gross)
                {
                    clean.Add(window);
                }
            }

            TrendFit without = Fit(clean), with = Fit(all);
            double off = Math.Abs(with.SlopePaPerSecond - without.SlopePaPerSecond) / without.SlopeUncertaintyPaPerSecond;
            Assert.True(off < 1, $"seed {seed}: off by {off:0.00} standard uncertainties");
        }
    }

    [Fact]
    public void Slow_errors_make_the_uncertainty_greater()
    {
        PrechargeWindow[] slow = [.. Enumerable.Range(0, 100).Select(i => Make.Window(i * 5, 100 + (0.1 * Math.Sqrt(2) * Math.Sin(i / 8.0))))];
        PrechargeWindow[] quick = [.. Enumerable.Range(0, 100).Select(i => Make.Window(i * 5, 100 + (0.1 * Math.Sqrt(2) * Math.Sin(i * 37 / 8.0))))];
        Assert.True(Fit(slow).SlopeUncertaintyPaPerSecond > 2 * Fit(quick).SlopeUncertaintyPaPerSecond);
    }

    private static TrendFit Fit(IReadOnlyList<PrechargeWindow> points) => TrendFitter.Fit(points, Allowed, Alpha);
}
