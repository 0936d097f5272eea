using MathNet.Numerics.LinearAlgebra;

namespace DriftWatch.Trends.Inspection;

/// <summary>
/// Tells the drift of a transducer from a loss of gas: a leak moves transducer and hand gauge alike, a drift moves their
/// disagreement. The disagreement of a transducer that holds is calibration (of the transducer, of each gauge) and scatter, all
/// normal with the uncertainties of their budgets. The test is the likelihood ratio of 'the disagreement also grows at a constant
/// rate', with a normal mixture over that rate (Robbins, Ann. Math. Statist. 41 (1970) 1397), against 'it does not'. While the
/// transducer holds that ratio is a martingale of mean 1, so that it ever passes 1/p with probability p at most (Ville), however
/// often checks are made and looked at. One alone can be enough: a disagreement that calibration cannot explain.
/// </summary>
public static class TransducerDriftTest
{
    /// <summary>More are not needed: the oldest are left out, which keeps the probability.</summary>
    private const int MostComparisons = 64;

    /// <summary>The test over the comparisons so far.</summary>
    /// <param name="installed">From when on drift counts, UTC: when the transducer was put in or calibrated, else the first reading.</param>
    /// <param name="comparisons">The comparisons in order of time; those before <paramref name="installed"/> do not count.</param>
    /// <param name="transducerUncertaintyPa">Standard uncertainty of the transducer's calibration at the reference temperature, Pa; 0 or above.</param>
    /// <param name="scalePaPerSecond">Size of the rates worth finding, Pa/s; above 0: the loss that the vessel is allowed.</param>
    /// <param name="falseAlarmProbability">Greatest probability of ever calling a transducer drifting that holds; above 0, below 0.5.</param>
    /// <exception cref="ArgumentException">Comparisons out of order or without uncertainty.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A figure outside its range.</exception>
    public static TransducerDrift Of(
        DateTimeOffset installed,
        IReadOnlyList<TransducerComparison> comparisons,
        double transducerUncertaintyPa,
        double scalePaPerSecond,
        double falseAlarmProbability)
    {
        ArgumentNullException.ThrowIfNull(comparisons);
        Positive(scalePaPerSecond > 0, scalePaPerSecond, nameof(scalePaPerSecond), "above 0 Pa/s: the loss that is allowed");
        Positive(transducerUncertaintyPa >= 0, transducerUncertaintyPa, nameof(transducerUncertaintyPa), "0 Pa or above");
        Positive(falseAlarmProbability is > 0 and < 0.5, falseAlarmProbability, nameof(falseAlarmProbability), "above 0 and below 0.5");
        TransducerComparison[] counting = [.. comparisons.Where(comparison => comparison.At >= installed).TakeLast(MostComparisons)];
        Check(counting);
        double bound = -Math.Log(falseAlarmProbability);
        double greatest = 0;
        DateTimeOffset? proven = null;
        (double Rate, double Uncertainty, double ErrorUncertainty) last = (double.NaN, double.PositiveInfinity, double.PositiveInfinity);
        for (int n = 1; n <= counting.Length; n++)
        {
            (double evidence, last) = Look(counting[..n], installed, transducerUncertaintyPa, scalePaPerSecond);
            greatest = Math.Max(greatest, evidence);
            proven ??= evidence >= bound ? counting[n - 1].At : null;
        }

        return new TransducerDrift(
            counting.Length, last.Rate, last.Uncertainty, counting.Length > 0 ? counting[^1].At : null, counting.Length > 0 ? counting[^1].DifferencePa : double.NaN, last.ErrorUncertainty,
            proven, greatest, bound);
    }

    private static (double Evidence, (double Rate, double Uncertainty, double ErrorUncertainty) Estimate) Look(
        TransducerComparison[] seen, DateTimeOffset installed, double transducerPa, double scale)
    {
        Matrix<double> covariance = Matrix<double>.Build.Dense(seen.Length, seen.Length, (i, j) =>
            (transducerPa * transducerPa)
            + (seen[i].GaugeId == seen[j].GaugeId ? seen[i].GaugeUncertaintyPa * seen[j].GaugeUncertaintyPa : 0)
            + (i == j ? seen[i].RandomUncertaintyPa * seen[i].RandomUncertaintyPa : 0));
        Vector<double> time = Vector<double>.Build.Dense(seen.Length, i => (seen[i].At - installed).TotalSeconds);
        Vector<double> difference = Vector<double>.Build.Dense(seen.Length, i => seen[i].DifferencePa);
        Vector<double> weighted = covariance.Cholesky().Solve(time);
        double information = weighted.DotProduct(time);
        double score = weighted.DotProduct(difference);
        double errorUncertainty = Math.Sqrt(covariance[seen.Length - 1, seen.Length - 1]);
        if (!(information > 0))
        {
            return (0, (double.NaN, double.PositiveInfinity, errorUncertainty));
        }

        // Both hypotheses differ by the rank-one matrix of the rate: the ratio needs no second factorisation.
        double growth = 1 + (scale * scale * information);
        double evidence = (0.5 * scale * scale * score * score / growth) - (0.5 * Math.Log(growth));
        return (evidence, (score / information, 1 / Math.Sqrt(information), errorUncertainty));
    }

    private static void Check(TransducerComparison[] comparisons)
    {
        for (int i = 0; i < comparisons.Length; i++)
        {
            TransducerComparison one = comparisons[i];
            if (!(one.RandomUncertaintyPa > 0 && one.GaugeUncertaintyPa >= 0 && double.IsFinite(one.DifferencePa)))
            {
                throw new ArgumentException(
                    $"The comparison of {one.At:O} has no finite difference or no uncertainty of its own: give both in Pa, the uncertainty above 0.", nameof(comparisons));
            }

            if (i > 0 && one.At < comparisons[i - 1].At)
            {
                throw new ArgumentException(
                    $"The comparison of {one.At:O} comes after one of {comparisons[i - 1].At:O}: give them in order of time.", nameof(comparisons));
            }
        }
    }

    private static void Positive(bool good, double value, string parameter, string allowed)
    {
        if (!good || !double.IsFinite(value))
        {
            throw new ArgumentOutOfRangeException(parameter, value, $"Give a finite number {allowed}.");
        }
    }
}
