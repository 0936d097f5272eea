using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Trend;

public class SequentialIntervalTests(ITestOutputHelper output)
{
    /// <summary>
    /// With the scatter known (endless degrees of freedom) the interval is Robbins' normal mixture boundary
    /// (Ann. Math. Statist. 41 (1970) 1397): |b - beta| less than sigma sqrt((S + L) ln((S + L) / (L alpha^2))) / S, with L the
    /// inverse square of the mixture's own deviation.
    /// </summary>
    [Theory]
    [InlineData(0.2, 1.0, 0.01)]
    [InlineData(1.0, 1.0, 0.01)]
    [InlineData(50, 0.5, 0.05)]
    [InlineData(1e5, 2.0, 0.001)]
    public void Known_scatter_gives_the_normal_mixture_boundary(double squareSum, double scale, double alpha)
    {
        double prior = 1 / (scale * scale);
        double sum = squareSum + prior;
        double robbins = 1.7 * Math.Sqrt(sum * Math.Log(sum / (prior * alpha * alpha))) / squareSum;
        Assert.Equal(robbins, SequentialInterval.HalfWidth(1.7, squareSum, 10_000_000, scale, alpha), 1e-5 * robbins);
    }

    [Fact]
    public void More_points_and_more_time_never_widen_it_and_two_points_say_nothing()
    {
        Assert.True(double.IsPositiveInfinity(SequentialInterval.HalfWidth(1, 100, 0, 1, 0.01)));
        double before = double.PositiveInfinity;
        for (int freedom = 1; freedom < 2000; freedom++)
        {
            double half = SequentialInterval.HalfWidth(1, Math.Pow(freedom + 2, 3) / 1200, freedom, 1, 0.01);
            Assert.True(half < before || double.IsPositiveInfinity(before), $"at {freedom} degrees of freedom");
            before = half;
        }

        Assert.True(before < 0.002);
    }

    [Fact]
    public void Less_risk_means_a_wider_interval_than_the_plain_one()
    {
        double half5 = SequentialInterval.HalfWidth(1, 100, 20, 1, 0.05);
        double half1 = SequentialInterval.HalfWidth(1, 100, 20, 1, 0.01);
        double plain = CoverageFactor.Of95(20) / Math.Sqrt(100);
        Assert.True(plain < half5 && half5 < half1);
    }

    /// <summary>
    /// The promise itself: looked at after each of 1000 points, the interval misses the true slope ever in at most 5 % of the
    /// lives (Ville's inequality). Plain 95 % intervals, looked at as often, must miss far more, or the trial proves nothing.
    /// </summary>
    [Theory]
    [InlineData(0.1)]
    [InlineData(1.0)]
    [InlineData(10.0)]
    public void Looked_at_after_every_point_of_a_life_it_misses_no_more_often_than_stated(double scaleOverPointSpacing)
    {
        const int lives = 1000, looks = 1000;
        const double alpha = 0.05;
        double[] factors = [.. Enumerable.Range(0, looks).Select(n => n < 3 ? double.PositiveInfinity : CoverageFactor.Of95(n - 2))];
        var dice = new NormalDice(70);
        int missed = 0, plainMissed = 0;
        for (int life = 0; life < lives; life++)
        {
            bool ever = false, plainEver = false;
            double n = 0, meanT = 0, meanY = 0, tt = 0, ty = 0, yy = 0;
            for (int i = 0; i < looks; i++)
            {
                // The true slope is 0: the one on the boundary, seen from it.
                double t = i / 30.0, y = dice.Next();
                n++;
                double dt = t - meanT, dy = y - meanY;
                meanT += dt / n;
                meanY += dy / n;
                tt += dt * (t - meanT);
                ty += dt * (y - meanY);
                yy += dy * (y - meanY);
                if (i < 3)
                {
                    continue;
                }

                double slope = ty / tt;
                double scatter = Math.Sqrt(Math.Max(0, yy - (slope * ty)) / (n - 2));
                ever |= Math.Abs(slope) > SequentialInterval.HalfWidth(scatter, tt, i - 1, scaleOverPointSpacing, alpha);
                plainEver |= Math.Abs(slope) > factors[i] * scatter / Math.Sqrt(tt);
            }

            missed += ever ? 1 : 0;
            plainMissed += plainEver ? 1 : 0;
        }

        output.WriteLine($"missed ever: {missed} of {lives}; plain 95 % intervals: {plainMissed}");
        Assert.True(missed <= (alpha * lives) + (3 * Math.Sqrt(alpha * (1 - alpha) * lives)));
        Assert.True(plainMissed > 0.3 * lives);
    }

    /// <summary>
    /// The same for the whole fit, robust scatter and all, as the verdict uses it: a vessel that loses exactly what is allowed is
    /// called 'falling faster' only when the interval lies beyond, one half of the misses.
    /// </summary>
    [Theory]
    [InlineData(0.0)]
    [InlineData(0.05)]
    public void A_vessel_that_loses_exactly_the_allowed_rate_is_rarely_ever_called(double outlierShare)
    {
        const int lives = 250, looks = 64;
        const double alpha = 0.05, allowed = 0.005, uncertaintyPa = 5000;
        var dice = new NormalDice(71);
        int called = 0, missed = 0;
        for (int life = 0; life < lives; life++)
        {
            List<PrechargeWindow> points = [];
            bool everCalled = false, everMissed = false;
            for (int i = 0; i < looks; i++)
            {
                double error = dice.Next() + (dice.Uniform() < outlierShare ? 8 : 0);
                points.Add(Make.Window(7 * i, 100 + (((-allowed * 7 * 86400 * i) + (uncertaintyPa * error)) / 1e5), uncertaintyPa / 1e5));
                if (i < 2)
                {
                    continue;
                }

                TrendFit fit = TrendFitter.Fit(points, allowed, alpha);
                everCalled |= fit.SequentialSlopeHighPaPerSecond < -allowed;
                everMissed |= fit.SequentialSlopeHighPaPerSecond < -allowed || fit.SequentialSlopeLowPaPerSecond > -allowed;
            }

            called += everCalled ? 1 : 0;
            missed += everMissed ? 1 : 0;
        }

        output.WriteLine($"{outlierShare:P0} outliers: called {called}, missed {missed} of {lives}");
        Assert.True(missed <= (alpha * lives) + (3 * Math.Sqrt(alpha * (1 - alpha) * lives)), $"missed {missed} of {lives}");
    }
}
