using BenchmarkDotNet.Attributes;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Benchmarks;

/// <summary>What one more point costs after 1, 10 and 100 months of a point a day: taking it in and fitting anew.</summary>
[MemoryDiagnoser]
public class HistoryBenchmarks
{
    private TrendSeries _series = new();

    /// <summary>Months of history.</summary>
    [Params(1, 10, 100)]
    public int Months { get; set; }

    /// <summary>Half the allowed loss with seeded noise.</summary>
    [GlobalSetup]
    public void Live()
    {
        var random = new Random(1);
        var start = new DateTimeOffset(2016, 1, 1, 0, 0, 0, TimeSpan.Zero);
        _series = TrendSeries.Of(Enumerable.Range(0, (int)(Months * 30.4)).Select(day => new PrechargeWindow
        {
            Start = start.AddDays(day),
            End = start.AddDays(day).AddHours(6),
            ReadingCount = 300,
            Evidence = WindowEvidence.RestingPlateau,
            MeanPressurePa = 200e5,
            MeanTemperatureK = 293.15,
            PrechargePa = 200e5 - (1600 * day) + (20_000 * (random.NextDouble() + random.NextDouble() + random.NextDouble() - 1.5)),
            RandomUncertaintyPa = 10_000,
            SharedUncertaintyPa = 20_000,
            IsochoreSlopePaPerK = double.NaN,
            Rest = day,
            Standing = WindowStanding.Accepted,
        }));
    }

    /// <summary>The fit at the newest point.</summary>
    [Benchmark]
    public TrendFit Fit() => TrendFitter.Fit(_series, 0.038, 0.01);
}
