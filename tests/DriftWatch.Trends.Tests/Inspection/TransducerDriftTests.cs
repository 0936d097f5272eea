using DriftWatch.Trends.Inspection;

namespace DriftWatch.Trends.Tests.Inspection;

/// <summary>Drift of a transducer by checks by hand: told from a leak, and rarely cried.</summary>
public sealed class TransducerDriftTests(ITestOutputHelper output)
{
    private const double Month = 365.25 / 12 * 86400;
    private const double Probability = 0.05;

    /// <summary>1 bar a month, in Pa/s.</summary>
    private const double Scale = 1e5 / Month;

    private const double TransducerPa = 0.2e5;
    private const double GaugePa = 0.6e5;
    private const double RandomPa = 0.5e5;

    private static readonly DateTimeOffset Start = new(2025, 1, 6, 8, 0, 0, TimeSpan.Zero);

    /// <summary>The inspection ladder of two years, months after the start (common practice: a week, four months, six months).</summary>
    private static readonly double[] Ladder = [0.25, 4.25, 10.25, 16.25, 22.25];

    [Fact]
    public void A_transducer_that_holds_is_cried_over_less_often_than_allowed_however_many_looks()
    {
        int seed = Environment.TickCount;
        var dice = new Random(seed);
        const int Lives = 2000;
        int cried = 0;
        for (int life = 0; life < Lives; life++)
        {
            // Looked at after each of 24 monthly checks.
            cried += Test(Checks(dice, [.. Enumerable.Range(1, 24).Select(month => (double)month)], _ => 0)).Proven is null ? 0 : 1;
        }

        output.WriteLine($"cried {cried} of {Lives}, seed {seed}");

        // The bound holds for ever; what chance adds to 2000 lives is less than four standard deviations in all but one run of 30,000.
        double most = Probability + (4 * Math.Sqrt(Probability * (1 - Probability) / Lives));
        Assert.True(cried <= most * Lives, $"seed {seed}: {cried} of {Lives} cried, at most {most * Lives:0} expected");
    }

    [Fact]
    public void A_drift_as_large_as_the_allowed_loss_is_found_within_two_years_of_the_ladder()
    {
        int seed = Environment.TickCount;
        var dice = new Random(seed);
        int found = 0;
        for (int life = 0; life < 200; life++)
        {
            TransducerDrift drift = Test(Checks(dice, Ladder, months => -1e5 * months));
            found += drift.Proven is null ? 0 : 1;
            Assert.InRange((drift.RatePaPerSecond + Scale) / drift.RateUncertaintyPaPerSecond, -5, 5);
        }

        output.WriteLine($"found {found} of 200, seed {seed}");
        Assert.True(found >= 198, $"seed {seed}: only {found} of 200 drifts found");
    }

    [Fact]
    public void A_leak_that_both_see_is_no_drift()
    {
        // The disagreement is what is tested: a loss that hand and transducer see alike does not enter it.
        var dice = new Random(7);
        double[] lost = [.. Ladder.Select(months => -3e5 * months)];
        TransducerComparison[] comparisons = [.. Checks(dice, Ladder, _ => 0).Select((check, n) =>
            check with { DifferencePa = (100e5 + lost[n] + check.DifferencePa) - (100e5 + lost[n]) })];
        Assert.Null(Test(comparisons).Proven);
    }

    [Fact]
    public void One_check_is_enough_where_calibration_cannot_explain_it_and_only_there()
    {
        Assert.NotNull(Test([Comparison(12, 9e5, "A")]).Proven);
        Assert.Null(Test([Comparison(12, 0.9e5, "A")]).Proven);

        // On the day it was put in nothing can have drifted: a disagreement then is calibration, or a mistake.
        Assert.Null(Test([Comparison(0, 9e5, "A")]).Proven);
    }

    [Fact]
    public void Another_gauge_brings_its_own_calibration_and_so_tells_more_than_the_same_one()
    {
        TransducerDrift same = Test([Comparison(6, 2e5, "A"), Comparison(12, 4e5, "A")]);
        TransducerDrift other = Test([Comparison(6, 2e5, "A"), Comparison(12, 4e5, "B")]);
        Assert.NotEqual(same.Evidence, other.Evidence);
    }

    /// <summary>The closed form against the mixture integrated by Simpson's rule over the rate, for three correlated comparisons.</summary>
    [Fact]
    public void The_evidence_is_the_mixture_of_the_likelihoods()
    {
        TransducerComparison[] seen = [Comparison(4, 0.7e5, "A"), Comparison(10, 1.4e5, "A"), Comparison(16, 2.6e5, "B")];
        double[] t = [4 * Month, 10 * Month, 16 * Month];

        // Inverse of the 3 x 3 covariance by cofactors, in bar2.
        double c = 0.04, g = 0.36, r = 0.25;
        double[,] s = { { c + g + r, c + g, c }, { c + g, c + g + r, c }, { c, c, c + g + r } };
        double determinant = (s[0, 0] * ((s[1, 1] * s[2, 2]) - (s[1, 2] * s[2, 1])))
            - (s[0, 1] * ((s[1, 0] * s[2, 2]) - (s[1, 2] * s[2, 0])))
            + (s[0, 2] * ((s[1, 0] * s[2, 1]) - (s[1, 1] * s[2, 0])));
        double Cofactor(int i, int j)
        {
            int a = (i + 1) % 3, b = (i + 2) % 3, d = (j + 1) % 3, e = (j + 2) % 3;
            return (s[a, d] * s[b, e]) - (s[a, e] * s[b, d]);
        }

        double Square(double rate)
        {
            double sum = 0;
            for (int i = 0; i < 3; i++)
            {
                for (int j = 0; j < 3; j++)
                {
                    sum += (((seen[i].DifferencePa - (rate * t[i])) / 1e5) * Cofactor(i, j) / determinant) * ((seen[j].DifferencePa - (rate * t[j])) / 1e5);
                }
            }

            return sum;
        }

        const int Panels = 20_000;
        double width = 16 * Scale / Panels, mixture = 0;
        for (int n = 0; n <= Panels; n++)
        {
            double rate = (-8 * Scale) + (n * width);
            double weight = n is 0 or Panels ? 1 : n % 2 == 1 ? 4 : 2;
            double prior = Math.Exp(-rate * rate / (2 * Scale * Scale)) / (Scale * Math.Sqrt(2 * Math.PI));
            mixture += weight * width / 3 * prior * Math.Exp(-0.5 * (Square(rate) - Square(0)));
        }

        TransducerDrift drift = Test(seen);
        Assert.Equal(Math.Log(mixture), drift.Evidence, 1e-6);
        Assert.Equal(-Math.Log(Probability), drift.Bound, 1e-12);
    }

    [Fact]
    public void What_cannot_be_used_is_refused()
    {
        Assert.Throws<ArgumentException>(() => Test([Comparison(4, 0, "A"), Comparison(2, 0, "A")]));
        Assert.Throws<ArgumentException>(() => Test([Comparison(4, double.NaN, "A")]));
        Assert.Throws<ArgumentOutOfRangeException>(() => TransducerDriftTest.Of(Start, [], TransducerPa, 0, Probability));
        Assert.Throws<ArgumentOutOfRangeException>(() => TransducerDriftTest.Of(Start, [], double.NaN, Scale, Probability));
        Assert.Equal(0, Test([]).Count);
    }

    private static TransducerDrift Test(IReadOnlyList<TransducerComparison> comparisons) =>
        TransducerDriftTest.Of(Start, comparisons, TransducerPa, Scale, Probability);

    private static TransducerComparison Comparison(double months, double differencePa, string gauge) =>
        new(Start.AddSeconds(months * Month), differencePa, RandomPa, gauge, GaugePa);

    /// <summary>Checks with two gauges in turn, calibrations drawn once a life.</summary>
    private static TransducerComparison[] Checks(Random dice, double[] months, Func<double, double> drift)
    {
        double calibration = TransducerPa * Normal(dice);
        double[] gauges = [GaugePa * Normal(dice), GaugePa * Normal(dice)];
        return [.. months.Select((month, n) => Comparison(
            month, calibration - gauges[n % 2] + drift(month) + (RandomPa * Normal(dice)), n % 2 == 0 ? "A" : "B"))];
    }

    private static double Normal(Random dice) =>
        Math.Sqrt(-2 * Math.Log(1 - dice.NextDouble())) * Math.Cos(2 * Math.PI * dice.NextDouble());
}
