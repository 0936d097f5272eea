using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Tests;

/// <summary>A vessel with invented windows and what is said of it, ready to be drawn.</summary>
internal sealed record ChartCase(
    string Name, Vessel Vessel, List<PrechargeWindow> Windows, List<TrendSegment> Segments, Assessment Assessment)
{
    public static readonly DateTimeOffset Start = new(2025, 3, 3, 2, 0, 0, TimeSpan.Zero);
    public const double AmbientPa = 101_325;
    private const double SecondsPerMonth = 365.25 / 12 * 86400;

    public TrendChart Chart(PressureUnit? unit = null, ChartStyle? style = null) =>
        TrendChart.Render(Vessel, Windows, Segments, Assessment, style, unit);

    public static IEnumerable<ChartCase> All() =>
    [
        SlowLeak(), Recharge(), Trapped(), SuddenLoss(), OnePoint(), NoPoints(), Years(), DecadesAhead(), OpenEnd(), ManyCharges(), BelowLimit(),
    ];

    public static ChartCase SlowLeak()
    {
        var windows = Line(0, 210, 5, 102, -0.9, 0.25);
        return Case("slow-leak", windows, [Segment(0, 0, SegmentCause.FirstWindow)], 212, Verdict.FallingFasterThanAllowed);
    }

    public static ChartCase Recharge()
    {
        var before = Line(0, 150, 3, 100, -1.6, 0.15);
        var after = Line(152, 300, 3, 103, -1.5, 0.15, segment: 1);
        return Case(
            "recharge", [.. before, .. after],
            [Segment(0, 0, SegmentCause.FirstWindow), Segment(1, 151, SegmentCause.RecordedCharge)],
            302, Verdict.FallingFasterThanAllowed, charges: [151]);
    }

    public static ChartCase Trapped()
    {
        var windows = Line(0, 260, 2, 100, -0.05, 0.2);
        var kept = windows.Select((w, n) => n switch
        {
            > 30 and < 45 => w with { PrechargePa = w.PrechargePa + 4.5e5 + (n % 5 * 0.4e5), Standing = WindowStanding.Ambiguous, Segment = -1 },
            > 60 and < 85 => w with { PrechargePa = w.PrechargePa + 60e5, Standing = WindowStanding.Rejected, Segment = -1 },
            > 100 and < 110 => w with { PrechargePa = w.PrechargePa + 7e5, Standing = WindowStanding.Rejected, Segment = -1 },
            _ => w,
        });
        return Case("trapped-fluid", [.. kept], [Segment(0, 0, SegmentCause.FirstWindow)], 263, Verdict.WithinLimits);
    }

    public static ChartCase SuddenLoss()
    {
        var before = Line(0, 200, 4, 101, -0.1, 0.2);
        var after = Line(203, 215, 3, 12, -0.3, 0.2, segment: 1);
        return Case(
            "sudden-loss", [.. before, .. after],
            [Segment(0, 0, SegmentCause.FirstWindow), Segment(1, 202, SegmentCause.SuddenLoss)],
            216, Verdict.BelowLowerLimit);
    }

    public static ChartCase OnePoint() =>
        Case("one-point", Line(0, 0.5, 1, 99, 0, 0.3), [Segment(0, 0, SegmentCause.FirstWindow)], 3, Verdict.NotKnownYet);

    public static ChartCase NoPoints() => Case("no-points", [], [], 40, Verdict.NoWindowTooLong);

    public static ChartCase Years()
    {
        var first = Line(0, 900, 1, 101, -0.12, 0.3);
        var second = Line(902, 2000, 1, 102, -0.18, 0.3, segment: 1);
        return Case(
            "years", [.. first, .. second],
            [Segment(0, 0, SegmentCause.FirstWindow), Segment(1, 901, SegmentCause.UnrecordedCharge)],
            2001, Verdict.WithinLimits);
    }

    public static ChartCase DecadesAhead() =>
        Case("decades-ahead", Line(0, 400, 6, 101, -0.04, 0.05), [Segment(0, 0, SegmentCause.FirstWindow)], 401, Verdict.WithinLimits);

    public static ChartCase OpenEnd()
    {
        var made = Case("open-end", Line(0, 25, 6, 97, -3.2, 0.8), [Segment(0, 0, SegmentCause.FirstWindow)], 27, Verdict.NotKnownYet);
        var fit = made.Assessment.Fit! with
        {
            SequentialSlopeLowPaPerSecond = double.NegativeInfinity,
            SequentialSlopeHighPaPerSecond = double.PositiveInfinity,
        };
        return made with { Assessment = made.Assessment with { Fit = fit, Forecast = made.Assessment.Forecast! with { Latest = null } } };
    }

    public static ChartCase ManyCharges() => Case(
        "many-charges", Line(0, 300, 4, 100, -0.5, 0.2), [Segment(0, 0, SegmentCause.FirstWindow)], 302, Verdict.WithinLimits,
        charges: [.. Enumerable.Range(0, 16).Select(n => 20.0 + (n * (n < 8 ? 6 : 24)))],
        fault: "gas temperature stands still since 2025-11-02; the correction rests on the last good value");

    public static ChartCase BelowLimit()
    {
        var made = Case("below-limit", Line(0, 300, 4, 95, -1.1, 0.2), [Segment(0, 0, SegmentCause.FirstWindow)], 302, Verdict.BelowLowerLimit);
        return made with { Vessel = made.Vessel with { Description = "Bladder vessel that damps the return line of the big forging press in hall three", Place = "Hall 3, pit below the press, second rack from the left, behind the guard" } };
    }

    public static ChartCase Case(
        string name, List<PrechargeWindow> windows, List<TrendSegment> segments, double asOfDay, Verdict verdict,
        double[]? charges = null, string fault = "")
    {
        var last = segments.Count > 0 ? segments[^1] : null;
        var points = windows.Where(w => w.Standing == WindowStanding.Accepted && w.Segment == last?.Number).ToList();
        var fit = points.Count >= 2 ? Fit(points) : null;
        Vessel vessel = new(
            "press-2-main", "Main press accumulator", "Hall 2, rack B", Specification(), [], [.. (charges ?? []).Select(d => new PrechargeCheck(Start.AddDays(d)))]);
        return new ChartCase(name, vessel, windows, segments, new Assessment
        {
            AsOf = Start.AddDays(asOfDay),
            Verdict = verdict,
            Reason = "for the picture",
            Segment = last,
            PointCount = points.Count,
            Fit = fit,
            LastWindow = windows.Count > 0 ? windows[^1].End : null,
            PrechargePa = points.Count > 0 ? fit?.LevelAtPa(fit.LastPoint) ?? points[^1].PrechargePa : null,
            PrechargeUncertaintyPa = points.Count > 0 ? 0.35e5 : null,
            Forecast = fit is null ? null : Forecast(fit, (90e5 + AmbientPa)),
            DataFault = fault,
        });
    }

    public static VesselSpecification Specification() => new()
    {
        Type = VesselType.Bladder,
        GasVolume = GasVolume.FromLitres(50),
        ReferenceTemperature = GasTemperature.FromDegreesCelsius(20),
        NominalPrecharge = GaugePressure.FromBar(100),
        LowerLimit = GaugePressure.FromBar(90),
        UpperLimit = GaugePressure.FromBar(110),
        AllowedLossPaPerSecond = 0.5e5 / SecondsPerMonth,
        Ambient = AbsolutePressure.FromPascals(AmbientPa),
        GasPressureSensor = new PressureSensor(PressureKind.Gauge, 0, 400e5, 0.3e5),
        GasTemperatureSensor = new TemperatureSensor(233, 373, 0.5),
    };

    public static TrendSegment Segment(int number, double day, SegmentCause cause) => new(number, Start.AddDays(day), cause);

    /// <summary>Points on a line (bar gauge, bar a month) with Gaussian scatter of the stated standard uncertainty, seed 20.</summary>
    public static List<PrechargeWindow> Line(
        double from, double to, double everyDays, double bar, double barPerMonth, double uncertaintyBar, int segment = 0)
    {
        Random random = new(20);
        List<PrechargeWindow> windows = [];
        for (var day = from; day <= to; day += everyDays)
        {
            var noise = Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble());
            var value = bar + (barPerMonth * (day - from) / 30.4375) + (uncertaintyBar * noise);
            var start = Start.AddDays(day + (0.2 * random.NextDouble()));
            windows.Add(new PrechargeWindow
            {
                Start = start,
                End = start.AddHours(2),
                ReadingCount = 120,
                Evidence = WindowEvidence.FluidPressure,
                MeanPressurePa = (value * 1e5) + AmbientPa,
                MeanTemperatureK = 293.15,
                PrechargePa = (value * 1e5) + AmbientPa,
                RandomUncertaintyPa = uncertaintyBar * 1e5,
                SharedUncertaintyPa = 0.3e5,
                IsochoreSlopePaPerK = 0,
                Rest = windows.Count,
                Standing = WindowStanding.Accepted,
                Segment = segment,
            });
        }

        return windows;
    }

    private static TrendFit Fit(List<PrechargeWindow> points)
    {
        var origin = points[0].Middle.AddSeconds(points.Average(p => (p.Middle - points[0].Middle).TotalSeconds));
        var t = points.Select(p => (p.Middle - origin).TotalSeconds).ToArray();
        var level = points.Average(p => p.PrechargePa);
        var squares = t.Sum(x => x * x);
        var slope = t.Zip(points, (x, p) => x * p.PrechargePa).Sum() / squares;
        var scatter = points.Average(p => p.RandomUncertaintyPa);
        return new TrendFit
        {
            Origin = origin,
            LevelPa = level,
            SlopePaPerSecond = slope,
            LevelRandomUncertaintyPa = scatter / Math.Sqrt(points.Count),
            SharedUncertaintyPa = 0.3e5,
            SlopeUncertaintyPaPerSecond = scatter / Math.Sqrt(squares),
            CoverageFactor95 = points.Count > 10 ? 2 : 2.78,
            PointCount = points.Count,
            DegreesOfFreedom = points.Count - 2,
            FirstPoint = points[0].Middle,
            LastPoint = points[^1].Middle,
            SequentialSlopeLowPaPerSecond = slope - (4 * scatter / Math.Sqrt(squares)),
            SequentialSlopeHighPaPerSecond = slope + (4 * scatter / Math.Sqrt(squares)),
        };
    }

    private static CrossingForecast Forecast(TrendFit fit, double limitPa)
    {
        var half = fit.CoverageFactor95 * fit.SlopeUncertaintyPaPerSecond;
        DateTimeOffset? At(double slope) =>
            slope < 0 ? fit.Origin.AddSeconds(Math.Min((limitPa - fit.LevelPa) / slope, 2e11)) : null;
        return new CrossingForecast(At(fit.SlopePaPerSecond), At(fit.SlopePaPerSecond - half), At(fit.SlopePaPerSecond + half));
    }
}
