using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Trend;

/// <summary>
/// Seeded trials with a known slope. Tolerances are four binomial standard errors of the number of trials, so that another
/// seed would do as well; for six points and more the robust estimate is allowed one percent beside them.
/// </summary>
public class TrendCoverageTests(ITestOutputHelper output)
{
    private const double BudgetFreedom = 4;

    /// <summary>
    /// The budget of a point is itself uncertain. With its true deviation drawn as four degrees of freedom say (relative
    /// uncertainty some 35 %, JCGM 100:2008 G.4.2), the pooled Student interval covers exactly 95 %.
    /// </summary>
    [Theory]
    [InlineData(3, 6000)]
    [InlineData(5, 6000)]
    [InlineData(10, 6000)]
    [InlineData(30, 3000)]
    [InlineData(100, 1000)]
    public void With_a_budget_as_uncertain_as_it_says_the_interval_covers_95_percent(int count, int trials)
    {
        var dice = new NormalDice(count);
        Trial trial = Run(count, trials, dice, () =>
        {
            double squares = 0;
            for (int i = 0; i < BudgetFreedom; i++)
            {
                double z = dice.Next();
                squares += z * z;
            }

            return Math.Sqrt(BudgetFreedom / squares);
        });
        output.WriteLine($"{count} points: {trial.Coverage:P2}");
        Assert.Equal(0.95, trial.Coverage, Tolerance(0.95, count, trials));
    }

    /// <summary>
    /// With the budget exactly right it covers more at few points: the expectation is P(|Z| less than
    /// t sqrt((4 + chi2)/(4 + n - 2))), here by integration over chi2 with n - 2 degrees of freedom.
    /// </summary>
    [Theory]
    [InlineData(3, 6000, 1.0)]
    [InlineData(5, 6000, 1.0)]
    [InlineData(10, 6000, 1.0)]
    [InlineData(30, 3000, 1.0)]
    [InlineData(100, 1000, 1.0)]
    [InlineData(3, 6000, 2.0)]
    [InlineData(5, 6000, 2.0)]
    [InlineData(5, 6000, 0.5)]
    public void With_a_budget_that_is_right_or_off_twofold_it_covers_what_theory_expects(int count, int trials, double trueOverBudget)
    {
        double expected = ExpectedCoverage(count, trueOverBudget);
        Trial trial = Run(count, trials, new NormalDice(count), () => trueOverBudget);
        output.WriteLine($"{count} points, true deviation {trueOverBudget} of the budget: {trial.Coverage:P2}, expected {expected:P2}");
        Assert.Equal(expected, trial.Coverage, Tolerance(expected, count, trials));
    }

    /// <summary>
    /// Error of the slope against the Cramer-Rao bound sigma / sqrt(sum (t - mean t)^2): no unbiased estimate beats it. The
    /// biweight is tuned to 95 % efficiency, 1.026 of the bound. A deviation from N trials is itself known to 1/sqrt(2 N).
    /// </summary>
    [Theory]
    [InlineData(5, 4000, 0, 1.0)]
    [InlineData(6, 4000, 0, 1.1)]
    [InlineData(10, 4000, 0, 1.1)]
    [InlineData(30, 2000, 0, 1.1)]
    [InlineData(100, 1000, 0, 1.1)]
    [InlineData(30, 2000, 0.05, 1.25)]
    [InlineData(100, 1000, 0.05, 1.25)]
    public void The_slope_is_nearly_as_good_as_it_can_be(int count, int trials, double outlierShare, double most)
    {
        Trial trial = Run(count, trials, new NormalDice(17 * count), () => 1, outlierShare);
        output.WriteLine($"{count} points, {outlierShare:P0} outliers: {trial.ErrorOverBound:0.000} of the bound");
        double sampling = 3 / Math.Sqrt(2.0 * trials);
        Assert.InRange(trial.ErrorOverBound, 1 - sampling, most + sampling);
    }

    private static double Tolerance(double coverage, int count, int trials) =>
        (4 * Math.Sqrt(coverage * (1 - coverage) / trials)) + (count < 6 ? 0 : 0.01);

    private static double ExpectedCoverage(int count, double ratio)
    {
        int freedom = count - 2;
        double factor = CoverageFactor.Of95(BudgetFreedom + freedom);

        // chi2 = x^2, which takes the pole of one degree of freedom away; Simpson over x, normalised by the same sum.
        const int Steps = 4000;
        double end = Math.Sqrt(freedom) + 8, mass = 0, covered = 0;
        for (int i = 0; i <= Steps; i++)
        {
            double x = end * i / Steps;
            double weight = i is 0 or Steps ? 1 : i % 2 == 1 ? 4 : 2;
            double logDensity = ((freedom - 1) * Math.Log(Math.Max(x, 1e-300))) - (x * x / 2);
            double density = weight * Math.Exp(logDensity - ((freedom - 1) / 2.0 * Math.Log(Math.Max(freedom, 1))));
            double half = factor * Math.Sqrt(((BudgetFreedom / (ratio * ratio)) + (x * x)) / (BudgetFreedom + freedom));
            mass += density;
            covered += density * MathNet.Numerics.SpecialFunctions.Erf(half / Math.Sqrt(2));
        }

        return covered / mass;
    }

    private static Trial Run(int count, int trials, NormalDice dice, Func<double> deviation, double outlierShare = 0)
    {
        const double uncertaintyPa = 1000, weekSeconds = 7 * 86400, slope = -0.01;
        double bound = uncertaintyPa / (weekSeconds * Math.Sqrt(count * ((double)count * count - 1) / 12));
        int covered = 0;
        double squares = 0;
        for (int trial = 0; trial < trials; trial++)
        {
            double scale = deviation();
            var points = new PrechargeWindow[count];
            for (int i = 0; i < count; i++)
            {
                double error = scale * dice.Next();
                if (outlierShare > 0 && dice.Uniform() < outlierShare)
                {
                    error += dice.Uniform() < 0.5 ? 10 : -10;
                }

                points[i] = Make.Window(7 * i, 100 + (((slope * i * weekSeconds) + (uncertaintyPa * error)) / 1e5), uncertaintyPa / 1e5);
            }

            TrendFit fit = TrendFitter.Fit(points, 0.03, 0.01);
            double off = fit.SlopePaPerSecond - slope;
            covered += Math.Abs(off) <= fit.CoverageFactor95 * fit.SlopeUncertaintyPaPerSecond ? 1 : 0;
            squares += off * off;
        }

        return new Trial((double)covered / trials, Math.Sqrt(squares / trials) / bound);
    }

    private readonly record struct Trial(double Coverage, double ErrorOverBound);
}
