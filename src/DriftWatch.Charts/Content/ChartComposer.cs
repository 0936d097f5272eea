using DriftWatch.Gas.Units;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Content;

/// <summary>Turns a vessel, its windows and its assessment into what the chart shows.</summary>
internal static class ChartComposer
{
    private const int BandSteps = 64;

    public static ChartContent Compose(
        Vessel vessel,
        IReadOnlyList<PrechargeWindow> windows,
        IReadOnlyList<TrendSegment> segments,
        Assessment assessment,
        PressureUnit unit)
    {
        var scale = new PressureScale(unit);
        var specification = vessel.Specification;
        var ambientPa = specification.Ambient.Pascals;
        double Gauge(double absolutePa) => scale.FromPascals(absolutePa - ambientPa);

        var drawn = windows.Where(w => double.IsFinite(w.PrechargePa)).OrderBy(w => w.Middle).ToList();
        List<ChartPoint> Points(Func<PrechargeWindow, bool> chosen) => drawn.Where(chosen).Select(w => new ChartPoint(
            ChartTime.Days(w.Middle),
            Gauge(w.PrechargePa),
            w.RandomUncertaintyPa >= 0 && double.IsFinite(w.RandomUncertaintyPa)
                ? scale.FromPascals(CoverageFactor.Normal95 * w.RandomUncertaintyPa)
                : 0)).ToList();

        var segment = assessment.Segment;
        bool IsCurrent(PrechargeWindow w) => segment is null || w.Segment == segment.Number || (w.Segment < 0 && w.Middle >= segment.Start);
        var current = Points(w => w.Standing == WindowStanding.Accepted && IsCurrent(w));
        var earlier = Points(w => w.Standing == WindowStanding.Accepted && !IsCurrent(w));
        var ambiguous = Points(w => w.Standing == WindowStanding.Ambiguous);
        var rejected = Points(w => w.Standing == WindowStanding.Rejected);

        var checks = Checks(vessel, assessment.AsOf, scale);

        var fit = assessment.Fit;
        var crossing = CrossingAhead(fit, assessment.Forecast, assessment.AsOf);
        var first = drawn.Count > 0 ? ChartTime.Days(drawn[0].Middle) : (double?)null;
        var last = drawn.Count > 0 ? ChartTime.Days(drawn[^1].Middle) : (double?)null;
        if (checks.Count > 0)
        {
            first = Math.Min(first ?? checks[0].Day, checks[0].Day);
            last = Math.Max(last ?? checks[^1].Day, checks[^1].Day);
        }

        var time = ChartRange.Time(first, last, ChartTime.Days(assessment.AsOf), crossing);

        var lower = scale.FromPascals(specification.LowerLimit.Pascals);
        var upper = scale.FromPascals(specification.UpperLimit.Pascals);
        var nominal = scale.FromPascals(specification.NominalPrecharge.Pascals);
        var pressure = ChartRange.Pressure(
            lower,
            upper,
            [.. current.Concat(checks).Select(p => p.Value)],
            [.. earlier.Select(p => p.Value)],
            [.. ambiguous.Concat(rejected).Select(p => p.Value)]);

        return new ChartContent
        {
            VesselId = ChartTexts.Clean(vessel.Id),
            Heading = $"{ChartTexts.Clean(vessel.Id)}: {VerdictNames.NameOf(assessment.Verdict)}",
            AsOf = $"as of {DayText.Of(assessment.AsOf)}",
            Subheading = ChartTexts.Clean(string.Join(", ", new[] { vessel.Description, vessel.Place }.Where(t => !string.IsNullOrWhiteSpace(t)))),
            Figures = ChartTexts.Figures(specification, assessment, drawn.Count, Gauge, scale),
            AxisTitle = $"Precharge at {ChartTexts.Celsius(specification.ReferenceTemperature)}, {scale.Symbol} gauge",
            Scale = scale,
            Time = time,
            Pressure = pressure,
            LowerLimit = lower,
            Nominal = nominal,
            UpperLimit = upper,
            Current = current,
            Earlier = earlier,
            Checks = checks,
            Ambiguous = ambiguous,
            Rejected = rejected,
            Trend = fit is null ? [] : Line(fit, ChartTime.Days(fit.FirstPoint), ChartTime.Days(fit.LastPoint), Gauge),
            Forecast = fit is null
                ? []
                : Line(fit, ChartTime.Days(fit.LastPoint), Math.Min(time.High, crossing?.Day ?? time.High), Gauge),
            Crossing = crossing,
            Events = Events(vessel, segments, assessment, time),
        };
    }

    private static List<ChartPoint> Checks(Vessel vessel, DateTimeOffset asOf, PressureScale scale) =>
    [
        .. HandReading.Of(vessel, HandInstruments.Common).Where(hand => hand.At <= asOf).Select(hand => new ChartPoint(
            ChartTime.Days(hand.At),
            scale.FromPascals(hand.PrechargePa - vessel.Specification.Ambient.Pascals),
            scale.FromPascals(CoverageFactor.Normal95 * hand.CombinedUncertaintyPa))),
    ];

    private static CrossingMark? CrossingAhead(TrendFit? fit, CrossingForecast? forecast, DateTimeOffset asOf) =>
        fit is not null && forecast?.Crossing is { } at && at > fit.LastPoint
            ? new CrossingMark(
                ChartTime.Days(at),
                forecast.Earliest is { } early ? ChartTime.Days(early) : null,
                forecast.Latest is { } late ? ChartTime.Days(late) : null,
                ChartTime.Ahead(at, asOf))
            : null;

    private static List<BandPoint> Line(TrendFit fit, double from, double to, Func<double, double> gauge)
    {
        List<BandPoint> line = [];
        if (!(to > from))
        {
            return line;
        }

        for (var step = 0; step <= BandSteps; step++)
        {
            var day = from + ((to - from) * step / BandSteps);
            var instant = ChartTime.Instant(day);
            var level = fit.LevelAtPa(instant);
            var half = fit.CoverageFactor95 * fit.RandomUncertaintyAtPa(instant);
            if (double.IsFinite(level))
            {
                // Where nothing can be said of the scatter the line stands without a band.
                var band = double.IsFinite(half) ? half : 0;
                line.Add(new BandPoint(day, gauge(level), gauge(level - band), gauge(level + band)));
            }
        }

        return line;
    }

    private static List<ChartEvent> Events(
        Vessel vessel, IReadOnlyList<TrendSegment> segments, Assessment assessment, AxisSpan time)
    {
        IReadOnlyList<DateTimeOffset> charges = [.. vessel.RecordedCharges.Select(charge => charge.At)];
        var steps = segments
            .Where(s => s.Cause is SegmentCause.UnrecordedCharge or SegmentCause.SuddenLoss
                || (s.Cause is SegmentCause.RecordedCharge && !charges.Any(c => c <= s.Start)))
            .Select(s => (s.Start, Name: ChartTexts.Name(s.Cause)));
        return [.. charges
            .Select(c => (Start: c, Name: ChartTexts.Name(SegmentCause.RecordedCharge)))
            .Concat(vessel.TransducerChanges.Select(c => (Start: c, Name: ChartTexts.Name(SegmentCause.RecordedTransducerChange))))
            .Concat(steps)
            .Select(e => new ChartEvent(ChartTime.Days(e.Start), $"{e.Name} {DayText.Of(e.Start)}", e.Name, IsAsOf: false))
            .Append(new ChartEvent(ChartTime.Days(assessment.AsOf), "as of", "as of", IsAsOf: true))
            .Where(e => time.Holds(e.Day))
            .OrderBy(e => e.Day)];
    }
}
