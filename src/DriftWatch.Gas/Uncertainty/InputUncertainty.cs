using System.Globalization;

namespace DriftWatch.Gas.Uncertainty;

/// <summary>
/// Standard uncertainty of one input quantity, in the unit of that quantity, with where it comes from. <c>default</c> is none: an
/// input that is known, or left out.
/// </summary>
public readonly record struct InputUncertainty
{
    private const double Most = 1e12;
    private const double MostDegrees = double.PositiveInfinity;
    private readonly double _inverseDegreesOfFreedom;

    private InputUncertainty(double standardUncertainty, ProbabilityDistribution distribution, double degreesOfFreedom)
    {
        StandardUncertainty = standardUncertainty;
        Distribution = distribution;
        _inverseDegreesOfFreedom = 1 / degreesOfFreedom;
    }

    /// <summary>Standard uncertainty (k = 1) in the unit of the quantity, 0 or above.</summary>
    public double StandardUncertainty { get; }

    /// <summary>The distribution it is the standard deviation of.</summary>
    public ProbabilityDistribution Distribution { get; }

    /// <summary>How well the uncertainty itself is known, 1 to infinity; infinity where nothing was said.</summary>
    public double DegreesOfFreedom => 1 / _inverseDegreesOfFreedom;

    /// <summary>Takes a standard uncertainty (k = 1), normal.</summary>
    /// <param name="standardUncertainty">0 to 1e12 in the unit of the quantity.</param>
    /// <param name="degreesOfFreedom">1 to infinity, ends included.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static InputUncertainty FromStandard(double standardUncertainty, double degreesOfFreedom = MostDegrees) =>
        Make(standardUncertainty, 1, ProbabilityDistribution.Normal, degreesOfFreedom, nameof(standardUncertainty));

    /// <summary>Takes an expanded uncertainty as calibration certificates state it: U with coverage factor k (JCGM 100, 4.3.3).</summary>
    /// <param name="expandedUncertainty">U, 0 to 1e12 in the unit of the quantity.</param>
    /// <param name="coverageFactor">k, 0.1 to 100, ends included; 2 where a certificate speaks of some 95 %.</param>
    /// <param name="degreesOfFreedom">1 to infinity, ends included.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static InputUncertainty FromExpanded(
        double expandedUncertainty, double coverageFactor, double degreesOfFreedom = MostDegrees)
    {
        Require.Within(coverageFactor, 0.1, 100, nameof(coverageFactor), "Coverage factor", "(pure number)", "Certificates state 2 or 3.");
        return Make(expandedUncertainty, coverageFactor, ProbabilityDistribution.Normal, degreesOfFreedom, nameof(expandedUncertainty));
    }

    /// <summary>Takes limits that are all one knows, plus and minus a: u = a / sqrt(3) (JCGM 100, 4.3.7).</summary>
    /// <param name="halfWidth">a, 0 to 1e12 in the unit of the quantity.</param>
    /// <param name="degreesOfFreedom">1 to infinity, ends included.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static InputUncertainty FromLimits(double halfWidth, double degreesOfFreedom = MostDegrees) =>
        Make(halfWidth, Math.Sqrt(3), ProbabilityDistribution.Rectangular, degreesOfFreedom, nameof(halfWidth));

    /// <summary>Takes limits with values near the middle likelier, plus and minus a: u = a / sqrt(6) (JCGM 100, 4.3.9).</summary>
    /// <param name="halfWidth">a, 0 to 1e12 in the unit of the quantity.</param>
    /// <param name="degreesOfFreedom">1 to infinity, ends included.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static InputUncertainty FromTriangularLimits(double halfWidth, double degreesOfFreedom = MostDegrees) =>
        Make(halfWidth, Math.Sqrt(6), ProbabilityDistribution.Triangular, degreesOfFreedom, nameof(halfWidth));

    /// <summary>Takes the amplitude of a swing whose phase is unknown: u = a / sqrt(2) (JCGM 100, H.1.3.4).</summary>
    /// <param name="amplitude">a, 0 to 1e12 in the unit of the quantity.</param>
    /// <param name="degreesOfFreedom">1 to infinity, ends included.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static InputUncertainty FromSwing(double amplitude, double degreesOfFreedom = MostDegrees) =>
        Make(amplitude, Math.Sqrt(2), ProbabilityDistribution.ArcSine, degreesOfFreedom, nameof(amplitude));

    /// <summary>Takes the step of a display or converter: u = step / sqrt(12) (JCGM 100, F.2.2.1).</summary>
    /// <param name="step">Smallest step, 0 to 1e12 in the unit of the quantity.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static InputUncertainty FromResolution(double step) =>
        Make(step, Math.Sqrt(12), ProbabilityDistribution.Rectangular, MostDegrees, nameof(step));

    /// <summary>Takes repeated observations whose mean is the estimate, type A: u = s / sqrt(n), n - 1 degrees (JCGM 100, 4.2.3).</summary>
    /// <param name="standardDeviation">Experimental standard deviation s of one observation, 0 to 1e12.</param>
    /// <param name="observations">n, 2 or more.</param>
    /// <exception cref="ArgumentOutOfRangeException">NaN, outside the range, or fewer than two observations.</exception>
    public static InputUncertainty FromObservations(double standardDeviation, int observations)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(observations, 2);
        return Make(
            standardDeviation, Math.Sqrt(observations), ProbabilityDistribution.Normal, observations - 1, nameof(standardDeviation));
    }

    /// <summary>The uncertainty of the mean of n independent values that each have this one.</summary>
    internal InputUncertainty OfMean(int count) =>
        new(StandardUncertainty / Math.Sqrt(count), count > 1 ? ProbabilityDistribution.Normal : Distribution, DegreesOfFreedom);

    /// <summary>Value, distribution and degrees of freedom, culture-invariant, for logs and messages.</summary>
    public override string ToString() => string.Create(
        CultureInfo.InvariantCulture, $"{StandardUncertainty} ({Distribution}, {DegreesOfFreedom} degrees of freedom)");

    private static InputUncertainty Make(
        double stated, double divisor, ProbabilityDistribution distribution, double degreesOfFreedom, string parameter)
    {
        Require.Within(stated, 0, Most, parameter, "Uncertainty", "in the unit of its quantity", "State it as a figure of 0 or above.");
        Require.Within(
            degreesOfFreedom, 1, MostDegrees, nameof(degreesOfFreedom), "Degrees of freedom", "(pure number)",
            "Leave them out where the uncertainty itself counts as known.");
        return new InputUncertainty(stated / divisor, distribution, degreesOfFreedom);
    }
}
