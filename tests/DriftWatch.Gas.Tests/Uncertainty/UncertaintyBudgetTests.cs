using CsCheck;
using DriftWatch.Gas.Uncertainty;

namespace DriftWatch.Gas.Tests.Uncertainty;

public class UncertaintyBudgetTests
{
    /// <summary>
    /// JCGM 100:2008, H.1 (end-gauge calibration), inputs and figures from memory of that annex: u_c = 32 nm, 16 effective degrees of
    /// freedom, k99 = 2.92, U99 = 93 nm. Standard uncertainties of the lines in nm: 25, 9.7 (three parts), 2.9, 16.6.
    /// </summary>
    private static UncertaintyBudget EndGauge()
    {
        const double lengthNm = 50_000_623;
        const double expansion = 11.5e-6;
        return new UncertaintyBudget(
            50_000_838,
            "nm",
            [
                new("Standard's length", 1, InputUncertainty.FromExpanded(75, 3, 18), "nm", Sharing.Shared),

                // Five repeated readings; their deviation of 13 nm is pooled from 25 earlier ones, hence 24 degrees of freedom.
                new("Difference, repeated", 1, InputUncertainty.FromStandard(13 / Math.Sqrt(5), 24), "nm", Sharing.Random),
                new("Comparator, random", 1, InputUncertainty.FromExpanded(10, 2.57, 5), "nm", Sharing.Random),
                new("Comparator, systematic", 1, InputUncertainty.FromExpanded(20, 3, 8), "nm", Sharing.Shared),

                // First order only: the mean difference of the expansions and of the temperatures is zero.
                new("Standard's expansion", 0, InputUncertainty.FromLimits(2e-6), "1/K", Sharing.Shared),
                new("Bed temperature, swing", 0, InputUncertainty.FromSwing(0.5), "K", Sharing.Random),
                new("Difference of expansions", lengthNm * 0.1, InputUncertainty.FromLimits(1e-6, 50), "1/K", Sharing.Shared),
                new("Difference of temperatures", -lengthNm * expansion, InputUncertainty.FromLimits(0.05, 2), "K", Sharing.Shared),
            ]);
    }

    [Fact]
    public void End_gauge_of_GUM_H_1()
    {
        UncertaintyBudget budget = EndGauge();
        Assert.Equal(32, budget.CombinedStandardUncertainty, 0.5);
        Assert.Equal(16, Math.Floor(budget.EffectiveDegreesOfFreedom!.Value));
        ExpandedUncertainty expanded = budget.Expanded(0.99);
        Assert.Equal(2.92, expanded.CoverageFactor, 0.005);
        Assert.Equal(93, expanded.HalfWidth, 0.7);

        double[] lines = [.. budget.Contributors.Select(c => c.StandardUncertaintyOfResult)];
        Assert.Equal(25, lines[0], 0.05);
        Assert.Equal(9.7, Math.Sqrt((lines[1] * lines[1]) + (lines[2] * lines[2]) + (lines[3] * lines[3])), 0.05);
        Assert.Equal(2.9, lines[6], 0.05);
        Assert.Equal(16.6, lines[7], 0.05);

        // The standard's own length takes 25^2 of 32^2: what limits the answer stands first.
        Assert.Equal("Standard's length", budget.Shares[0].Contributor.Name);
        Assert.Equal(625 / 1002.0, budget.Shares[0].ShareOfVariance, 0.01);
        Assert.Equal(1, budget.Shares.Sum(s => s.ShareOfVariance), 1e-12);
    }

    /// <summary>
    /// JCGM 100:2008, H.2 (simultaneous resistance and reactance), observations and figures from memory of that annex: V, I, phi five
    /// times; R = 127.732 ohm with u = 0.071, X = 219.847 with 0.295, Z = 254.260 with 0.236.
    /// </summary>
    [Fact]
    public void Correlated_inputs_of_GUM_H_2()
    {
        double[] volts = [5.007, 4.994, 5.005, 4.990, 4.999];
        double[] amperes = [19.663e-3, 19.639e-3, 19.640e-3, 19.685e-3, 19.678e-3];
        double[] radians = [1.0456, 1.0438, 1.0468, 1.0428, 1.0433];
        (double v, double i, double phi) = (volts.Average(), amperes.Average(), radians.Average());
        InputCorrelation[] correlations =
        [
            new("V", "I", Correlation(volts, amperes)), new("V", "phi", Correlation(volts, radians)), new("phi", "I", Correlation(amperes, radians)),
        ];
        Assert.Equal([-0.36, 0.86, -0.65], correlations.Select(c => Math.Round(c.Coefficient, 2)));

        UncertaintyBudget Of(double estimate, double byVolt, double byAmpere, double byRadian) => new(
            estimate,
            "ohm",
            [
                new("V", byVolt, InputUncertainty.FromObservations(Deviation(volts), 5), "V", Sharing.Random),
                new("I", byAmpere, InputUncertainty.FromObservations(Deviation(amperes), 5), "A", Sharing.Random),
                new("phi", byRadian, InputUncertainty.FromObservations(Deviation(radians), 5), "rad", Sharing.Random),
            ],
            correlations);

        double z = v / i;
        UncertaintyBudget resistance = Of(z * Math.Cos(phi), Math.Cos(phi) / i, -z * Math.Cos(phi) / i, -z * Math.Sin(phi));
        UncertaintyBudget reactance = Of(z * Math.Sin(phi), Math.Sin(phi) / i, -z * Math.Sin(phi) / i, z * Math.Cos(phi));
        UncertaintyBudget impedance = Of(z, 1 / i, -z / i, 0);
        Assert.Equal(127.732, resistance.Estimate, 0.0005);
        Assert.Equal(219.847, reactance.Estimate, 0.0005);
        Assert.Equal(254.260, impedance.Estimate, 0.0005);

        // The annex goes on with rounded means and coefficients, which moves its third digit by one.
        Assert.Equal(0.071, resistance.CombinedStandardUncertainty, 0.001);
        Assert.Equal(0.295, reactance.CombinedStandardUncertainty, 0.001);
        Assert.Equal(0.236, impedance.CombinedStandardUncertainty, 0.001);
        Assert.Equal(1, resistance.Shares.Sum(s => s.ShareOfVariance), 1e-12);

        // Correlated inputs with few degrees of freedom: no Welch-Satterthwaite, and no interval that pretends to it.
        Assert.Null(resistance.EffectiveDegreesOfFreedom);
        Assert.Contains("correlated", Assert.Throws<InvalidOperationException>(() => resistance.Expanded(0.95)).Message, StringComparison.Ordinal);
    }

    /// <summary>JCGM 100:2008, table G.2, Student's t for 95 % and 99 %, from memory.</summary>
    [Theory]
    [InlineData(1, 12.71, 63.66)]
    [InlineData(2, 4.30, 9.92)]
    [InlineData(5, 2.57, 4.03)]
    [InlineData(10, 2.23, 3.17)]
    [InlineData(30, 2.04, 2.75)]
    [InlineData(100, 1.984, 2.626)]
    [InlineData(double.PositiveInfinity, 1.960, 2.576)]
    public void Coverage_factors_are_Students(double degrees, double at95, double at99)
    {
        UncertaintyBudget budget = One(InputUncertainty.FromStandard(1, degrees));
        Assert.Equal(at95, budget.Expanded(0.95).CoverageFactor, 0.006);
        Assert.Equal(at99, budget.Expanded(0.99).CoverageFactor, 0.006);
    }

    [Fact]
    public void Distributions_have_their_standard_deviations()
    {
        // Second route: mean square of evenly spaced quantiles.
        double rectangular = Spread(q => (2 * q) - 1);
        double triangular = Spread(q => q < 0.5 ? Math.Sqrt(2 * q) - 1 : 1 - Math.Sqrt(2 * (1 - q)));
        double swing = Spread(q => Math.Sin(Math.PI * (q - 0.5)));
        Assert.Equal(rectangular, InputUncertainty.FromLimits(1).StandardUncertainty, 1e-6);
        Assert.Equal(rectangular, InputUncertainty.FromResolution(2).StandardUncertainty, 1e-6);
        Assert.Equal(triangular, InputUncertainty.FromTriangularLimits(1).StandardUncertainty, 1e-6);
        Assert.Equal(swing, InputUncertainty.FromSwing(1).StandardUncertainty, 1e-6);

        static double Spread(Func<double, double> quantile) =>
            Math.Sqrt(Enumerable.Range(0, 100_000).Average(i => Math.Pow(quantile((i + 0.5) / 100_000), 2)));
    }

    [Fact]
    public void Random_and_shared_parts_add_up_and_a_mean_shrinks_only_the_random_one() =>
        Gen.Select(Gen.Double[0, 10], Gen.Double[0, 10], Gen.Int[1, 1000]).Sample((random, shared, n) =>
        {
            UncertaintyBudget budget = new(
                1, "Pa",
                [
                    new("a", -2, InputUncertainty.FromStandard(random), "Pa", Sharing.Random),
                    new("b", 3, InputUncertainty.FromStandard(shared), "Pa", Sharing.Shared),
                ]);
            Assert.Equal(2 * random, budget.RandomStandardUncertainty, 1e-9);
            Assert.Equal(3 * shared, budget.SharedStandardUncertainty, 1e-9);
            Assert.Equal(double.Hypot(2 * random, 3 * shared), budget.CombinedStandardUncertainty, 1e-9);
            UncertaintyBudget mean = budget.OfMean(n);
            Assert.Equal(2 * random / Math.Sqrt(n), mean.RandomStandardUncertainty, 1e-9);
            Assert.Equal(3 * shared, mean.SharedStandardUncertainty, 1e-9);
        });

    [Fact]
    public void Full_correlation_adds_or_cancels()
    {
        UncertaintyContributor[] lines =
        [
            new("a", 1, InputUncertainty.FromStandard(3), "Pa", Sharing.Shared), new("b", 1, InputUncertainty.FromStandard(3), "Pa", Sharing.Shared),
        ];
        Assert.Equal(6, new UncertaintyBudget(0, "Pa", lines, [new("a", "b", 1)]).CombinedStandardUncertainty, 1e-12);
        Assert.Equal(0, new UncertaintyBudget(0, "Pa", lines, [new("b", "a", -1)]).CombinedStandardUncertainty, 1e-12);
        Assert.Empty(new UncertaintyBudget(0, "Pa", lines, [new("b", "a", -1)]).Shares);
    }

    public static TheoryData<string, Func<object>> Refused => new()
    {
        { "Two contributors are named 'a'", () => Pair(secondName: "a") },
        { "'c', which is no contributor", () => Pair(correlations: new InputCorrelation("a", "c", 0.5)) },
        { "Correlation of 'a' and 'b' is 1.1", () => Pair(correlations: new InputCorrelation("a", "b", 1.1)) },
        { "is NaN", () => Pair(correlations: new InputCorrelation("a", "b", double.NaN)) },
        { "with itself", () => Pair(correlations: new InputCorrelation("a", "a", 1)) },
        { "given twice", () => Pair(correlations: [new InputCorrelation("a", "b", 0.1), new InputCorrelation("b", "a", 0.1)]) },
        { "one is random and one shared", () => Pair(second: Sharing.Shared, correlations: new InputCorrelation("a", "b", 0.5)) },
        { "no finite number", () => new UncertaintyBudget(double.NaN, "Pa", []) },
        { "Sensitivity of 'a'", () => new UncertaintyContributor("a", double.NaN, default, "Pa", Sharing.Random) },
        { "Uncertainty is -1", () => (object)InputUncertainty.FromStandard(-1) },
        { "Uncertainty is NaN", () => (object)InputUncertainty.FromLimits(double.NaN) },
        { "Degrees of freedom is 0", () => (object)InputUncertainty.FromStandard(1, 0) },
        { "Coverage factor is 0", () => (object)InputUncertainty.FromExpanded(1, 0) },
        { "observations", () => (object)InputUncertainty.FromObservations(1, 1) },
        { "Coverage probability is 95", () => (object)One(InputUncertainty.FromStandard(1)).Expanded(95) },
        { "independentReadings", () => One(InputUncertainty.FromStandard(1)).OfMean(0) },
    };

    [Theory]
    [MemberData(nameof(Refused))]
    public void What_makes_no_sense_is_refused_with_its_reason(string says, Func<object> make) =>
        Assert.Contains(says, Assert.ThrowsAny<ArgumentException>(make).Message, StringComparison.Ordinal);

    [Fact]
    public void Correlations_that_contradict_each_other_are_refused()
    {
        UncertaintyContributor[] lines = [.. new[] { "a", "b", "c" }.Select(
            name => new UncertaintyContributor(name, 1, InputUncertainty.FromStandard(1), "Pa", Sharing.Random))];
        Assert.Throws<ArgumentException>(
            () => new UncertaintyBudget(0, "Pa", lines, [new("a", "b", -1), new("b", "c", -1), new("a", "c", -1)]));
    }

    private static UncertaintyBudget One(InputUncertainty input) =>
        new(0, "Pa", [new UncertaintyContributor("a", 1, input, "Pa", Sharing.Random)]);

    private static UncertaintyBudget Pair(
        string secondName = "b", Sharing second = Sharing.Random, params InputCorrelation[] correlations) => new(
        0, "Pa",
        [
            new("a", 1, InputUncertainty.FromStandard(1), "Pa", Sharing.Random), new(secondName, 1, InputUncertainty.FromStandard(1), "Pa", second),
        ],
        correlations);

    private static double Deviation(double[] values) =>
        Math.Sqrt(values.Sum(v => Math.Pow(v - values.Average(), 2)) / (values.Length - 1));

    private static double Correlation(double[] a, double[] b) =>
        a.Zip(b, (x, y) => (x - a.Average()) * (y - b.Average())).Sum() / ((a.Length - 1) * Deviation(a) * Deviation(b));
}
