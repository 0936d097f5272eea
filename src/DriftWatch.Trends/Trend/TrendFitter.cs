using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Trend;

/// <summary>
/// Fits the line of a segment: weights from each point's random uncertainty, the robust line of <see cref="RobustLine"/>, and the
/// scatter of the residuals pooled with the budget's own statement. Where the loss rate is proven to have changed
/// within the segment, the line is that of the points since.
/// </summary>
public static class TrendFitter
{
    /// <summary>
    /// Degrees of freedom granted to the uncertainty budget: it is taken to be right within some 35 %
    /// (JCGM 100:2008, G.4.2: nu = 1/2 (relative uncertainty)^-2).
    /// </summary>
    private const double BudgetDegreesOfFreedom = 4;

    /// <summary>
    /// Where the points scatter less than this share of their budget, tests that take their scale from the scatter use this
    /// share: errors within the budget may be slow, and then the scatter does not show them.
    /// </summary>
    private const double LeastScatter = 0.5;

    /// <summary>A loss grows where its bend is worth this many variances of the robust sum of squares: three deviations.</summary>
    private const double GrowthPreference = 9;

    /// <summary>... and where its rate grows by this share of the allowed one over the stretch: a season in the placement of a sensor bends a line less.</summary>
    private const double LeastGrowth = 0.5;

    private const int FewestForGrowth = 8;

    /// <summary>What lies further off a line than so many times the scatter counts no more for its bend than this.</summary>
    private const double OutlierScatters = 4;

    /// <summary>The straight line must have lost this share of its level before a curve is asked for.</summary>
    private const double LossForCurve = 0.1;

    private const int FewestForCurve = 12;

    /// <summary>
    /// The curve is taken when the robust sum of squares is better by this many variances: the straight line is then
    /// given up falsely with at most P(Z > sqrt(5.41)) = 1 % whatever the distance of the two (see docs/study.md).
    /// </summary>
    private const double CurvePreference = 5.41;

    /// <summary>Share of the false-alarm probability for the line over the whole segment; the rest is for the changes within.</summary>
    private const double WholeShare = 0.5;

    /// <summary>Share of the false-alarm probability with which a change of the loss rate may ever be found falsely: it only moves the line.</summary>
    private const double ChangeShare = 0.1;

    /// <summary>Fewest points since a change before the line is moved to it.</summary>
    private const int FewestSinceChange = 10;

    /// <summary>Fewest entries, points or means of them, on each side of a change.</summary>
    private const int FewestEntries = 4;

    /// <summary>Fewest points since a candidate before they are held against the allowed rate.</summary>
    private const int FewestForFalling = 6;

    /// <summary>Fits the points of one segment.</summary>
    /// <param name="points">Accepted windows of one segment in order of time; at least 2, not all at one instant.</param>
    /// <param name="allowedLossPaPerSecond">Scale on which the sequential interval should be sharp, Pa/s; above 0.</param>
    /// <param name="falseAlarmProbability">Probability with which the sequential interval may ever miss the slope; above 0, below 1.</param>
    /// <returns>The fit.</returns>
    /// <exception cref="ArgumentException">Fewer than 2 points, or all at one instant.</exception>
    public static TrendFit Fit(IEnumerable<PrechargeWindow> points, double allowedLossPaPerSecond, double falseAlarmProbability) =>
        Fit(TrendSeries.Of(points), allowedLossPaPerSecond, falseAlarmProbability);

    /// <summary>Fits a series; the cost does not grow with its length.</summary>
    /// <inheritdoc cref="Fit(IEnumerable{PrechargeWindow}, double, double)"/>
    public static TrendFit Fit(TrendSeries series, double allowedLossPaPerSecond, double falseAlarmProbability)
    {
        if (series.Count < 2 || series.First == series.Last)
        {
            throw new ArgumentException("A trend needs at least two points at different instants.", nameof(series));
        }

        bool[] gross = series.Gross();
        OnsetCandidate? chosen = Change(series, gross, falseAlarmProbability);
        (TrendFit fit, bool grows) = chosen is null
            ? Line(series, 0, series.Count, gross, allowedLossPaPerSecond, WholeShare * falseAlarmProbability)
            : Since(series, chosen, gross, allowedLossPaPerSecond, falseAlarmProbability);
        return fit.SequentialSlopeHighPaPerSecond < -allowedLossPaPerSecond && !grows
            ? fit
            : Falling(series, gross, chosen is not null && HasSlowed(series, gross, chosen, fit) ? chosen : null, allowedLossPaPerSecond, falseAlarmProbability) ?? fit;
    }

    /// <summary>Whether the loss since a change is slower than it was before, beyond its uncertainty: a step, or a leak that grows, ends no leak.</summary>
    private static bool HasSlowed(TrendSeries series, bool[] gross, OnsetCandidate change, TrendFit since) =>
        since.SlopePaPerSecond - (since.CoverageFactor95 * since.SlopeUncertaintyPaPerSecond) > series.Sums(change, gross).Before.Slope;

    /// <summary>Scatter pooled with the budget's own statement, which is 1.</summary>
    internal static double Pooled(double scatter, double freedom) => Math.Sqrt(
        (BudgetDegreesOfFreedom + (freedom * scatter * scatter)) / (BudgetDegreesOfFreedom + freedom));

    /// <summary>
    /// The change of the loss rate that is proven best, null for none. Each candidate j is held, at its m-th look, to the p-value
    /// of the F-test of two lines against one (2 and n - 4 degrees of freedom, in closed form) at the share 36/(pi^4 j^2 m^2)
    /// of <see cref="ChangeShare"/> of the probability, so that a change is ever found falsely in the segment with at most that probability.
    /// </summary>
    private static OnsetCandidate? Change(TrendSeries series, bool[] gross, double falseAlarmProbability)
    {
        OnsetCandidate? best = null;
        double bestMargin = 0;
        LineSums all = series.Sums(gross);
        foreach (OnsetCandidate candidate in series.Candidates)
        {
            (LineSums before, LineSums since) = series.Sums(candidate, gross);
            if (since.Count < FewestSinceChange || before.Count < FewestSinceChange)
            {
                continue;
            }

            double look = since.Count - FewestSinceChange + 1;
            double logShare = Math.Log(
                ChangeShare * falseAlarmProbability * 36 / (Math.Pow(Math.PI, 4) * candidate.Number * candidate.Number * look * look));
            double apart = before.ResidualSquares + since.ResidualSquares;
            if (logShare - LogP(all.ResidualSquares, apart, before.Count + since.Count - 4, 1) <= bestMargin)
            {
                continue;
            }

            // Looked at closer: squares that no gross error can carry, and the correlation of neighbours from the residuals
            // of the two lines, as a bend would pass for it in those of the one.
            List<TrendEntry> earlier = series.Entries(0, candidate.Seconds, gross);
            List<TrendEntry> later = series.Entries(candidate.Seconds, double.PositiveInfinity, gross);
            if (Math.Min(earlier.Count, later.Count) < FewestEntries)
            {
                continue;
            }

            double one = SmoothDiscrepancy(series.Entries(0, double.PositiveInfinity, gross));
            RobustLine first = Robust(earlier);
            RobustLine second = Robust(later);
            double margin = logShare - LogP(
                one, first.Discrepancy + second.Discrepancy, first.Entries + second.Entries - 4,
                Math.Max(first.Inflation, second.Inflation));
            if (margin > bestMargin)
            {
                (best, bestMargin) = (candidate, margin);
            }
        }

        return best;
    }

    /// <summary>Robust sum of squares of what holds without a change: the straight line, or the curve where it is the better.</summary>
    private static double SmoothDiscrepancy(List<TrendEntry> entries)
    {
        (double[] seconds, double[] values, double[] uncertainties) = Columns(entries);
        RobustLine straight = RobustLine.Fit(seconds, values, uncertainties);
        return Math.Min(straight.Discrepancy, Logarithmic(seconds, values, uncertainties, straight)?.Discrepancy ?? double.PositiveInfinity);
    }

    /// <summary>Logarithm of the p-value of the F-test of two lines against one.</summary>
    private static double LogP(double together, double apart, double freedom, double inflation)
    {
        double variance = Math.Max(apart / freedom, LeastScatter * LeastScatter) * inflation * inflation;
        return -freedom / 2 * Math.Log(1 + (Math.Max(0, together - apart) / (freedom * variance)));
    }

    /// <summary>
    /// The line since a candidate at which the loss is proven to be above the allowed rate; null for none. The oldest is taken over which the loss
    /// does not grow, else the newest: a line through a loss that grows tells too high a level and too slow a loss. What was lost before the
    /// loss is proven to have slowed down says nothing of the loss since: a leak that was mended is over.
    /// </summary>
    private static TrendFit? Falling(
        TrendSeries series, bool[] gross, OnsetCandidate? slowed, double allowedLossPaPerSecond, double falseAlarmProbability)
    {
        TrendFit? proven = null;
        foreach (OnsetCandidate candidate in series.Candidates)
        {
            if (candidate.FirstPoint < slowed?.FirstPoint)
            {
                continue;
            }

            (_, LineSums since) = series.Sums(candidate, gross);
            if (since.Count < FewestForFalling || since.TimeSquares <= 0)
            {
                continue;
            }

            int freedom = since.Count - 2;
            double scatter = Math.Max(Math.Sqrt(since.ResidualSquares / freedom), LeastScatter);
            double half = SequentialInterval.HalfWidth(
                scatter, since.TimeSquares, freedom, allowedLossPaPerSecond, CandidateShare(candidate) * falseAlarmProbability);
            if (since.Slope + half >= -allowedLossPaPerSecond)
            {
                continue;
            }

            (TrendFit fit, bool grows) = Since(series, candidate, gross, allowedLossPaPerSecond, falseAlarmProbability);
            if (fit.SequentialSlopeHighPaPerSecond < -allowedLossPaPerSecond)
            {
                proven = fit;
                if (!grows)
                {
                    break;
                }
            }
        }

        return proven;
    }

    private static double CandidateShare(OnsetCandidate candidate) =>
        (1 - WholeShare) * 6 / (Math.PI * Math.PI * candidate.Number * candidate.Number);

    private static (TrendFit Fit, bool Grows) Since(
        TrendSeries series, OnsetCandidate candidate, bool[] gross, double allowedLossPaPerSecond, double falseAlarmProbability) =>
        Line(
            series, candidate.Seconds, series.Count - candidate.FirstPoint, gross,
            allowedLossPaPerSecond, CandidateShare(candidate) * falseAlarmProbability);

    private static RobustLine Robust(List<TrendEntry> entries)
    {
        (double[] seconds, double[] values, double[] uncertainties) = Columns(entries);
        return RobustLine.Fit(seconds, values, uncertainties);
    }

    /// <summary>The line of a stretch, and whether the loss grows over it.</summary>
    private static (TrendFit Fit, bool Grows) Line(
        TrendSeries series, double fromSeconds, int points, bool[] gross, double allowedLossPaPerSecond, double missProbability)
    {
        (double[] seconds, double[] values, double[] uncertainties) = Columns(series.Entries(fromSeconds, double.PositiveInfinity, gross));
        RobustLine robust = RobustLine.Fit(seconds, values, uncertainties);
        WeightedLine line = robust.Line;
        int residualFreedom = robust.Freedom;
        double error = Pooled(robust.Scatter, residualFreedom) * robust.Inflation;
        double freedom = BudgetDegreesOfFreedom + residualFreedom;

        // The mean loss over the stretch is as well known whether it grows or not: its bend is no error, nor does it make neighbours err alike.
        RobustLine? growing = Growing(seconds, values, uncertainties, robust, LeastGrowth * allowedLossPaPerSecond);
        double scatter = growing is { } even ? Math.Max(even.Scatter * even.Inflation, LeastScatter) : Math.Max(robust.Scatter, LeastScatter) * robust.Inflation;
        double sequentialHalf = SequentialInterval.HalfWidth(
            scatter, line.SquareSum, residualFreedom, allowedLossPaPerSecond, missProbability);
        (FirstOrderLoss? curve, bool curved) = Curve(series.First, seconds, values, uncertainties, robust);
        var fit = new TrendFit
        {
            Origin = series.First + TimeSpan.FromSeconds(line.MeanSeconds),
            LevelPa = line.Level,
            SlopePaPerSecond = line.Slope,
            LevelRandomUncertaintyPa = error / Math.Sqrt(line.WeightSum),
            SharedUncertaintyPa = series.SharedUncertaintyPa,
            SlopeUncertaintyPaPerSecond = error / Math.Sqrt(line.SquareSum),
            CoverageFactor95 = CoverageFactor.Of95(freedom),
            PointCount = points,
            DegreesOfFreedom = freedom,
            FirstPoint = series.First + TimeSpan.FromSeconds(fromSeconds),
            LastPoint = series.Last,
            SequentialSlopeLowPaPerSecond = line.Slope - sequentialHalf,
            SequentialSlopeHighPaPerSecond = line.Slope + sequentialHalf,
            LossChanged = fromSeconds > 0 ? series.First + TimeSpan.FromSeconds(fromSeconds) : null,
            FirstOrder = curve,
            IsCurved = curved,
        };
        return (fit, growing is not null);
    }

    /// <summary>
    /// The line through a loss that grows with its bend taken out, a parabola beside level and slope; null where the loss does not grow beyond doubt.
    /// </summary>
    private static RobustLine? Growing(double[] seconds, double[] values, double[] uncertainties, RobustLine straight, double leastPaPerSecond)
    {
        if (seconds.Length < FewestForGrowth)
        {
            return null;
        }

        double[] weights = Array.ConvertAll(uncertainties, u => 1 / (u * u));
        double[] bend = Array.ConvertAll(seconds, second => (second - straight.Line.MeanSeconds) * (second - straight.Line.MeanSeconds));
        WeightedLine ofBend = WeightedLine.Fit(seconds, bend, weights, weights);
        double limit = OutlierScatters * straight.Scatter, products = 0, squares = 0;
        for (int i = 0; i < bend.Length; i++)
        {
            bend[i] -= ofBend.At(seconds[i]);
            double residual = values[i] - straight.Line.At(seconds[i]);
            products += weights[i] * bend[i] * Math.Clamp(residual, -limit * uncertainties[i], limit * uncertainties[i]);
            squares += weights[i] * bend[i] * bend[i];
        }

        // The rate at the end of the stretch less that at its beginning.
        double growth = -2 * products / squares * (seconds[^1] - seconds[0]);
        if (!(growth > leastPaPerSecond))
        {
            return null;
        }

        RobustLine even = RobustLine.Fit(seconds, [.. values.Select((value, i) => value - (products / squares * bend[i]))], uncertainties);
        double error = Pooled(even.Scatter, even.Freedom);
        return straight.Discrepancy - even.Discrepancy > GrowthPreference * error * error ? even : null;
    }

    /// <summary>The first-order loss unless the data rule it out, and whether they call for it in place of the straight line.</summary>
    private static (FirstOrderLoss? Curve, bool Curved) Curve(
        DateTimeOffset first, double[] seconds, double[] values, double[] uncertainties, RobustLine straight)
    {
        if (Logarithmic(seconds, values, uncertainties, straight) is not { } curve)
        {
            return (null, false);
        }

        int freedom = curve.Freedom;
        double error = Pooled(Math.Min(curve.Scatter, straight.Scatter), freedom) * Math.Min(curve.Inflation, straight.Inflation);
        double preference = (straight.Discrepancy - curve.Discrepancy) / (error * error);
        if (preference < -CurvePreference)
        {
            return (null, false);
        }

        double own = Pooled(curve.Scatter, freedom) * curve.Inflation;
        var loss = new FirstOrderLoss(
            first + TimeSpan.FromSeconds(curve.Line.MeanSeconds),
            Math.Exp(curve.Line.Level),
            -curve.Line.Slope,
            own / Math.Sqrt(curve.Line.WeightSum),
            own / Math.Sqrt(curve.Line.SquareSum));
        return (loss, preference > CurvePreference);
    }

    /// <summary>The straight line through the logarithms; null where the loss is too small to ask for it.</summary>
    private static RobustLine? Logarithmic(double[] seconds, double[] values, double[] uncertainties, RobustLine straight)
    {
        double lost = -straight.Line.Slope * (seconds[^1] - seconds[0]);
        if (seconds.Length < FewestForCurve || lost <= LossForCurve * straight.Line.Level
            || straight.Line.At(seconds[0]) <= 0 || straight.Line.At(seconds[^1]) <= 0 || Array.Exists(values, value => value <= 0))
        {
            return null;
        }

        double[] relative = new double[seconds.Length];
        for (int i = 0; i < relative.Length; i++)
        {
            relative[i] = uncertainties[i] / straight.Line.At(seconds[i]);
        }

        return RobustLine.Fit(seconds, Array.ConvertAll(values, Math.Log), relative);
    }

    private static (double[] Seconds, double[] Values, double[] Uncertainties) Columns(List<TrendEntry> entries)
    {
        int count = entries.Count;
        double[] seconds = new double[count], values = new double[count], uncertainties = new double[count];
        for (int i = 0; i < count; i++)
        {
            seconds[i] = entries[i].Seconds;
            values[i] = entries[i].ValuePa;
            uncertainties[i] = 1 / Math.Sqrt(entries[i].Weight);
        }

        return (seconds, values, uncertainties);
    }
}
