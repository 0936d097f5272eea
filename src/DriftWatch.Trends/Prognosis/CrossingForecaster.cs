using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Prognosis;

/// <summary>
/// Foretells when the line of a segment reaches the lower limit. The interval is Fieller's: the instants at which the
/// limit lies inside the line's own 95 % band, shared uncertainty included. Where the data call for a first-order loss it is
/// the curve's; where they do not tell the two apart it holds both.
/// </summary>
public static class CrossingForecaster
{
    /// <summary>Farther ahead nothing is foretold: no elastomer outlives it.</summary>
    private const double HorizonSeconds = 100 * 365.25 * 86400;

    /// <summary>The crossing of a limit.</summary>
    /// <param name="fit">The line.</param>
    /// <param name="limitPa">Lower limit, Pa absolute at the reference temperature.</param>
    /// <returns>The forecast; instants before the last point mean that the limit is already crossed.</returns>
    public static CrossingForecast Forecast(TrendFit fit, double limitPa)
    {
        CrossingForecast straight = Forecast(
            fit, fit.Origin, fit.LevelPa - limitPa, fit.SlopePaPerSecond,
            double.Hypot(fit.LevelRandomUncertaintyPa, fit.SharedUncertaintyPa), fit.SlopeUncertaintyPaPerSecond);
        if (fit.FirstOrder is not { } loss)
        {
            return straight;
        }

        // A straight line through the logarithms: the same question, asked of them.
        CrossingForecast curved = Forecast(
            fit, loss.Origin, Math.Log(loss.LevelPa / limitPa), -loss.RatePerSecond,
            double.Hypot(loss.LevelRelativeUncertainty, fit.SharedUncertaintyPa / limitPa), loss.RateUncertaintyPerSecond);
        return fit.IsCurved ? curved : Either(straight, curved);
    }

    /// <summary>While the data do not tell the two laws apart the interval holds both.</summary>
    private static CrossingForecast Either(CrossingForecast straight, CrossingForecast curved) => new(
        straight.Crossing,
        straight.Earliest is { } one && curved.Earliest is { } other ? (one < other ? one : other) : straight.Earliest ?? curved.Earliest,
        straight.Latest is { } late && curved.Latest is { } later ? (late > later ? late : later) : null);

    private static CrossingForecast Forecast(
        TrendFit fit, DateTimeOffset origin, double above, double slope, double levelUncertainty, double slopeUncertainty)
    {
        DateTimeOffset? crossing = slope < 0 ? Instant(origin, -above / slope) : null;

        // (above + slope s)^2 = k^2 (uLevel^2 + uSlope^2 s^2), solved for s.
        double k2 = fit.CoverageFactor95 * fit.CoverageFactor95;
        double a = (slope * slope) - (k2 * slopeUncertainty * slopeUncertainty);
        double b = above * slope;
        double c = (above * above) - (k2 * levelUncertainty * levelUncertainty);
        double discriminant = (b * b) - (a * c);
        if (discriminant < 0)
        {
            // The limit lies inside the band at every instant, now too: it may be crossed already.
            return new CrossingForecast(crossing, fit.LastPoint, null);
        }

        double root = Math.Sqrt(discriminant);
        if (a > 0)
        {
            return slope < 0
                ? new CrossingForecast(crossing, Instant(origin, (-b - root) / a), Instant(origin, (-b + root) / a))
                : new CrossingForecast(null, null, null);
        }

        // The slope's own interval holds zero: the limit lies inside the band outside the two roots (with a < 0 they change
        // places). Above the limit, the early end is the later root and there is no late end; below it, the line came
        // through the limit before the earlier root, and nobody knows since when.
        if (c <= 0)
        {
            return new CrossingForecast(crossing, fit.LastPoint, null);
        }

        return above > 0
            ? new CrossingForecast(crossing, Instant(origin, (-b - root) / a), null)
            : new CrossingForecast(crossing, null, Instant(origin, (-b + root) / a));
    }

    private static DateTimeOffset? Instant(DateTimeOffset origin, double secondsFromOrigin) =>
        double.Abs(secondsFromOrigin) <= HorizonSeconds ? origin + TimeSpan.FromSeconds(secondsFromOrigin) : null;
}
