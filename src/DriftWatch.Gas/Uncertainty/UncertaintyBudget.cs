using MathNet.Numerics.Distributions;

namespace DriftWatch.Gas.Uncertainty;

/// <summary>
/// Uncertainty budget of one result by the law of propagation of uncertainty (JCGM 100:2008, 5), first order. Split into the part
/// that is new with each point and the part shared by all points of a sensor. Immutable.
/// </summary>
public sealed class UncertaintyBudget
{
    private readonly double[] _covariances;

    /// <summary>Combines the contributors.</summary>
    /// <param name="estimate">Value of the result; finite.</param>
    /// <param name="unit">Unit of the result.</param>
    /// <param name="contributors">The lines, each with a name of its own.</param>
    /// <param name="correlations">Correlated pairs; pairs not named are independent.</param>
    /// <exception cref="ArgumentException">
    /// An estimate that is not finite, two lines with one name, a correlation of unknown or one and the same name, given twice,
    /// outside -1 to 1, or across the random and the shared part; or correlations that contradict each other.
    /// </exception>
    public UncertaintyBudget(
        double estimate,
        string unit,
        IReadOnlyList<UncertaintyContributor> contributors,
        IReadOnlyList<InputCorrelation>? correlations = null)
    {
        ArgumentNullException.ThrowIfNull(contributors);
        Estimate = double.IsFinite(estimate)
            ? estimate
            : throw new ArgumentException("The estimate is no finite number; a budget needs a result to belong to.", nameof(estimate));
        Unit = unit;
        Contributors = [.. contributors];
        Correlations = [.. correlations ?? []];
        Dictionary<string, int> places = Places(Contributors);

        // Row sums of c_i u_i r_ij c_j u_j: a pair is counted half with either line.
        _covariances = [.. Contributors.Select(c => Square(c.StandardUncertaintyOfResult))];
        HashSet<(int Low, int High)> seen = [];
        foreach (InputCorrelation pair in Correlations)
        {
            (int i, int j) = (Place(places, pair.FirstName), Place(places, pair.SecondName));
            Check(pair, i, j, seen);
            double shared = pair.Coefficient * Signed(Contributors[i]) * Signed(Contributors[j]);
            _covariances[i] += shared;
            _covariances[j] += shared;
        }

        double random = SumOf(Sharing.Random);
        double common = SumOf(Sharing.Shared);
        RandomStandardUncertainty = Root(random);
        SharedStandardUncertainty = Root(common);
        CombinedStandardUncertainty = Math.Sqrt(Square(RandomStandardUncertainty) + Square(SharedStandardUncertainty));
    }

    /// <summary>Value of the result, in <see cref="Unit"/>.</summary>
    public double Estimate { get; }

    /// <summary>Unit of the result.</summary>
    public string Unit { get; }

    /// <summary>The lines, in the order given.</summary>
    public IReadOnlyList<UncertaintyContributor> Contributors { get; }

    /// <summary>The correlated pairs.</summary>
    public IReadOnlyList<InputCorrelation> Correlations { get; }

    /// <summary>Combined standard uncertainty u_c (k = 1), in <see cref="Unit"/>.</summary>
    public double CombinedStandardUncertainty { get; }

    /// <summary>Standard uncertainty of the part that is new with each point, in <see cref="Unit"/>.</summary>
    public double RandomStandardUncertainty { get; }

    /// <summary>Standard uncertainty of the part shared by all points of the sensor, in <see cref="Unit"/>.</summary>
    public double SharedStandardUncertainty { get; }

    /// <summary>What each contributor takes of the combined variance, the greatest first: what limits the answer. Empty when u_c is 0.</summary>
    public IReadOnlyList<ContributorShare> Shares
    {
        get
        {
            double variance = Square(CombinedStandardUncertainty);
            return variance > 0
                ? [.. Contributors.Select((c, i) => new ContributorShare(c, _covariances[i] / variance)).OrderByDescending(s => s.ShareOfVariance)]
                : [];
        }
    }

    /// <summary>
    /// Effective degrees of freedom by Welch and Satterthwaite (JCGM 100, G.4.1), infinity when every line's uncertainty counts as
    /// known. Null where a correlated line has finite degrees: the formula is for independent inputs only.
    /// </summary>
    public double? EffectiveDegreesOfFreedom
    {
        get
        {
            HashSet<string> correlated = [.. Correlations.SelectMany(pair => new[] { pair.FirstName, pair.SecondName })];
            if (Contributors.Any(c => correlated.Contains(c.Name) && double.IsFinite(c.Input.DegreesOfFreedom)))
            {
                return null;
            }

            double sum = Contributors.Sum(c => Square(Square(c.StandardUncertaintyOfResult)) / c.Input.DegreesOfFreedom);
            return sum > 0 ? Square(Square(CombinedStandardUncertainty)) / sum : double.PositiveInfinity;
        }
    }

    /// <summary>
    /// The interval meant to hold a stated fraction of the values: Student's t for the effective degrees of freedom, rounded down
    /// as JCGM 100, G.4.2 has it; the normal quantile where they are infinite.
    /// </summary>
    /// <param name="coverageProbability">0.5 to 0.9999, ends included; 0.95 is usual.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    /// <exception cref="InvalidOperationException">The effective degrees of freedom are not defined, see there.</exception>
    public ExpandedUncertainty Expanded(double coverageProbability)
    {
        Require.Within(
            coverageProbability, 0.5, 0.9999, nameof(coverageProbability), "Coverage probability", "(fraction)", "Give 0.95 for 95 %.");
        double degrees = EffectiveDegreesOfFreedom ?? throw new InvalidOperationException(
            "A correlated input has finite degrees of freedom, for which no effective degrees are defined. "
            + "State it with known uncertainty, or multiply the combined uncertainty by a factor of your own.");
        double quantile = 0.5 + (coverageProbability / 2);
        double factor = double.IsInfinity(degrees)
            ? Normal.InvCDF(0, 1, quantile)
            : StudentT.InvCDF(0, 1, Math.Max(1, Math.Floor(degrees)), quantile);
        return new ExpandedUncertainty(coverageProbability, factor, factor * CombinedStandardUncertainty);
    }

    /// <summary>
    /// The budget of the mean of n readings that each have this one: random lines shrink by sqrt(n), shared lines stay.
    /// </summary>
    /// <param name="independentReadings">
    /// n, 1 or more. Neighbouring readings share what moves slowly, so it is often less than the count.
    /// </param>
    /// <exception cref="ArgumentOutOfRangeException">Below 1.</exception>
    public UncertaintyBudget OfMean(int independentReadings)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(independentReadings, 1);
        UncertaintyContributor[] lines = [.. Contributors.Select(c => c.Sharing == Sharing.Shared
            ? c
            : new UncertaintyContributor(c.Name, c.Sensitivity, c.Input.OfMean(independentReadings), c.InputUnit, c.Sharing))];
        return new UncertaintyBudget(Estimate, Unit, lines, Correlations);
    }

    private static Dictionary<string, int> Places(IReadOnlyList<UncertaintyContributor> contributors)
    {
        Dictionary<string, int> places = [];
        for (int i = 0; i < contributors.Count; i++)
        {
            if (!places.TryAdd(contributors[i].Name, i))
            {
                throw new ArgumentException(
                    $"Two contributors are named '{contributors[i].Name}'. Give each line a name of its own.", nameof(contributors));
            }
        }

        return places;
    }

    private static int Place(Dictionary<string, int> places, string name) => places.TryGetValue(name, out int place)
        ? place
        : throw new ArgumentException($"A correlation names '{name}', which is no contributor. Use the name of a line.", nameof(name));

    private void Check(InputCorrelation pair, int i, int j, HashSet<(int Low, int High)> seen)
    {
        Require.Within(
            pair.Coefficient, -1, 1, "correlations", $"Correlation of '{pair.FirstName}' and '{pair.SecondName}'", "(pure number)",
            "Divide a covariance by both standard deviations.");
        if (i == j || !seen.Add((Math.Min(i, j), Math.Max(i, j))))
        {
            throw new ArgumentException(
                $"The correlation of '{pair.FirstName}' and '{pair.SecondName}' is of a line with itself or given twice. "
                + "State each pair of two lines once.", nameof(pair));
        }

        if (Contributors[i].Sharing != Contributors[j].Sharing)
        {
            throw new ArgumentException(
                $"'{pair.FirstName}' and '{pair.SecondName}' are correlated, but one is random and one shared. "
                + "Correlated lines belong to the same part.", nameof(pair));
        }
    }

    private double SumOf(Sharing sharing) => Contributors.Select((c, i) => c.Sharing == sharing ? _covariances[i] : 0).Sum();

    // Correlations of -1 may cancel to a rounding below zero; more than that is no covariance matrix.
    private double Root(double variance) => variance >= -1e-12 * Contributors.Sum(c => Square(c.StandardUncertaintyOfResult))
        ? Math.Sqrt(Math.Max(0, variance))
        : throw new ArgumentException("The correlations contradict each other: they make a variance below zero.");

    private static double Signed(UncertaintyContributor contributor) => contributor.Sensitivity * contributor.Input.StandardUncertainty;

    private static double Square(double x) => x * x;
}
