using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Web.Vessels;

/// <summary>Trend of a vessel over a span: what the live chart draws. Pressures are Pa absolute at the reference temperature.</summary>
/// <param name="Vessel">Vessel id.</param>
/// <param name="AsOf">Moment of the assessment, UTC; null before the first.</param>
/// <param name="AmbientPa">Air pressure at the vessel, Pa: absolute less this is gauge.</param>
/// <param name="LowerLimitPa">Lower limit, Pa absolute.</param>
/// <param name="NominalPa">Nominal precharge, Pa absolute.</param>
/// <param name="UpperLimitPa">Upper limit, Pa absolute.</param>
/// <param name="Points">Windows in the span, of any standing, in order of time.</param>
/// <param name="Line">The fitted line with its 95 % band, over its points and ahead.</param>
/// <param name="Crossing">When the lower limit is reached; null without a forecast.</param>
/// <param name="Marks">Charges, checks by hand and steps in the span, in order of time.</param>
internal sealed record TrendView(
    string Vessel,
    DateTimeOffset? AsOf,
    double AmbientPa,
    double LowerLimitPa,
    double NominalPa,
    double UpperLimitPa,
    IReadOnlyList<TrendViewPoint> Points,
    IReadOnlyList<TrendViewLine> Line,
    TrendViewCrossing? Crossing,
    IReadOnlyList<TrendViewMark> Marks)
{
    private const int StepsOfLine = 40;

    /// <summary>A forecast is drawn at most this many times as far ahead as the line has points behind it.</summary>
    private const double FurthestAhead = 1;

    private static readonly TimeSpan ShortestAhead = TimeSpan.FromDays(30);

    public static TrendView Compose(Vessel vessel, IReadOnlyList<PrechargeWindow> windows, Assessment? assessment, SpanQuery span)
    {
        Trends.Vessels.VesselSpecification specification = vessel.Specification;
        double ambientPa = specification.Ambient.Pascals;
        int? current = assessment?.Segment?.Number;
        var points = windows
            .Where(window => double.IsFinite(window.PrechargePa) && span.Holds(window.Middle))
            .OrderBy(window => window.Middle)
            .Select(window => new TrendViewPoint(
                WindowId.Of(window),
                window.Middle,
                window.PrechargePa,
                double.IsFinite(window.RandomUncertaintyPa) ? CoverageFactor.Normal95 * window.RandomUncertaintyPa : 0,
                window.Standing,
                window.Standing == WindowStanding.Accepted && window.Segment == current))
            .ToList();
        TrendFit? fit = assessment?.Fit;
        List<TrendViewLine> line = fit is null || assessment is null ? [] : [.. Along(fit, EndOfLine(fit, assessment), span)];
        TrendViewCrossing? crossing = fit is not null && assessment?.Forecast is { } forecast && (forecast.Earliest ?? forecast.Crossing) is not null
            ? new TrendViewCrossing(forecast.Earliest, forecast.Crossing, forecast.Latest)
            : null;
        return new TrendView(
            vessel.Id,
            assessment?.AsOf,
            ambientPa,
            specification.LowerLimit.Pascals + ambientPa,
            specification.NominalPrecharge.Pascals + ambientPa,
            specification.UpperLimit.Pascals + ambientPa,
            points,
            line,
            crossing,
            [.. Happened(vessel, assessment).Where(mark => span.Holds(mark.Instant)).OrderBy(mark => mark.Instant)]);
    }

    private static DateTimeOffset EndOfLine(TrendFit fit, Assessment assessment)
    {
        TimeSpan behind = fit.LastPoint - fit.FirstPoint;
        TimeSpan ahead = behind * FurthestAhead;
        DateTimeOffset furthest = fit.LastPoint + (ahead < ShortestAhead ? ShortestAhead : ahead);
        return assessment.Forecast?.Crossing is { } crossing && crossing > fit.LastPoint && crossing < furthest ? crossing : furthest;
    }

    private static IEnumerable<TrendViewLine> Along(TrendFit fit, DateTimeOffset end, SpanQuery span)
    {
        IEnumerable<DateTimeOffset> Steps(DateTimeOffset from, DateTimeOffset to) =>
            Enumerable.Range(0, StepsOfLine + 1).Select(step => from + ((to - from) * ((double)step / StepsOfLine)));

        foreach (DateTimeOffset instant in Steps(fit.FirstPoint, fit.LastPoint).Concat(Steps(fit.LastPoint, end).Skip(1)).Where(span.Holds))
        {
            double half = fit.CoverageFactor95 * fit.RandomUncertaintyAtPa(instant);
            yield return new TrendViewLine(instant, fit.LevelAtPa(instant), double.IsFinite(half) ? half : 0, instant > fit.LastPoint);
        }
    }

    private static IEnumerable<TrendViewMark> Happened(Vessel vessel, Assessment? assessment)
    {
        foreach (PrechargeCheck charge in vessel.RecordedCharges)
        {
            yield return new TrendViewMark(charge.At, "charge on record");
        }

        foreach (DateTimeOffset change in vessel.TransducerChanges)
        {
            yield return new TrendViewMark(change, "transducer changed");
        }

        foreach (HandReading hand in HandReading.Of(vessel, HandInstruments.Common))
        {
            yield return new TrendViewMark(hand.At, "checked by hand", hand.PrechargePa, CoverageFactor.Normal95 * hand.CombinedUncertaintyPa);
        }

        foreach (PrechargeCheck check in vessel.RecordedChecks.Where(check => check.Pressure is null || check.Temperature is null))
        {
            yield return new TrendViewMark(check.At, "checked by hand");
        }

        if (assessment?.Segment is { Cause: SegmentCause.UnrecordedCharge or SegmentCause.SuddenLoss } segment)
        {
            yield return new TrendViewMark(segment.Start, segment.Cause == SegmentCause.SuddenLoss ? "sudden loss" : "step up, not on record");
        }
    }
}
