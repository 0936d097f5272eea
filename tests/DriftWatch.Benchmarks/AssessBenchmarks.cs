using System.Globalization;
using System.Text;
using BenchmarkDotNet.Attributes;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using nietras.SeparatedValues;

namespace DriftWatch.Benchmarks;

/// <summary>
/// A year of one-minute readings of one vessel, from CSV text to the verdict, against a scan of the same text that reads every
/// field and keeps none, and against one that only finds the fields.
/// </summary>
[MemoryDiagnoser]
public class AssessBenchmarks
{
    private const int Minutes = 365 * 24 * 60;

    private static readonly VesselSpecification Vessel = new()
    {
        Type = VesselType.Bladder,
        GasVolume = GasVolume.FromCubicMetres(0.05),
        ReferenceTemperature = GasTemperature.FromDegreesCelsius(20),
        NominalPrecharge = GaugePressure.FromPascals(100e5),
        LowerLimit = GaugePressure.FromPascals(90e5),
        UpperLimit = GaugePressure.FromPascals(108e5),
        AllowedLossPaPerSecond = 1e5 / LossRate.SecondsPerMonth,
        LowestWorkingPressure = GaugePressure.FromPascals(125e5),
        HighestWorkingPressure = GaugePressure.FromPascals(210e5),
        Ambient = AbsolutePressure.FromPascals(1e5),
        GasPressureSensor = new PressureSensor(PressureKind.Absolute, 0, 250e5, 0.2e5),
        GasTemperatureSensor = new TemperatureSensor(233.15, 398.15, 0.5),
    };

    private string _text = "";

    /// <summary>Sixteen hours of work and eight of rest a day, the temperature going with the day, a little noise; half the allowed loss.</summary>
    [GlobalSetup]
    public void Write()
    {
        var random = new Random(1);
        var start = new DateTimeOffset(2026, 1, 1, 0, 0, 0, TimeSpan.Zero);
        var text = new StringBuilder("time,pressure_bar,temperature_c\n", Minutes * 40);
        for (int minute = 0; minute < Minutes; minute++)
        {
            double celsius = 20 + (6 * Math.Sin(2 * Math.PI * minute / 1440)) + (0.1 * random.NextDouble());
            double rest = IsochoricCorrection.PressureAtReferencePa(101e5 - (0.5e5 * minute / (1440 * 30.4)), 293.15, celsius + 273.15) / 1e5;
            double bar = minute % 1440 < 960 ? 130 + (70 * random.NextDouble()) : rest + (0.05 * random.NextDouble());
            text.Append(CultureInfo.InvariantCulture, $"{start.AddMinutes(minute):yyyy-MM-ddTHH:mm:ssZ},{bar:0.000},{celsius:0.00}\n");
        }

        _text = text.ToString();
    }

    /// <summary>Finds the fields and counts their characters.</summary>
    [Benchmark]
    public long FindFields()
    {
        long length = 0;
        using SepReader reader = Sep.Reader().FromText(_text);
        foreach (SepReader.Row row in reader)
        {
            length += row[0].Span.Length + row[1].Span.Length + row[2].Span.Length;
        }

        return length;
    }

    /// <summary>Reads instant and figures, and adds them up.</summary>
    [Benchmark(Baseline = true)]
    public double ReadFields()
    {
        double sum = 0;
        using SepReader reader = Sep.Reader().FromText(_text);
        foreach (SepReader.Row row in reader)
        {
            sum += Instant(row[0].Span).Ticks + row[1].Parse<double>() + row[2].Parse<double>();
        }

        return sum;
    }

    /// <summary>The same, tracked, with an assessment at each new point.</summary>
    [Benchmark]
    public Verdict Assess()
    {
        var tracker = new VesselTracker(Vessel, [], TrackerState.Start, [], []);
        Verdict verdict = Verdict.NotKnownYet;
        using SepReader reader = Sep.Reader().FromText(_text);
        foreach (SepReader.Row row in reader)
        {
            DateTimeOffset instant = Instant(row[0].Span);
            bool changed = tracker.Accept(new Reading(Signal.GasTemperature, instant, row[2].Parse<double>() + 273.15))
                | tracker.Accept(new Reading(Signal.GasPressure, instant, row[1].Parse<double>() * 1e5));
            if (changed)
            {
                verdict = tracker.Assess(instant).Verdict;
            }
        }

        return verdict;
    }

    private static DateTimeOffset Instant(ReadOnlySpan<char> text) =>
        DateTimeOffset.ParseExact(text, "yyyy-MM-ddTHH:mm:ssZ", CultureInfo.InvariantCulture, DateTimeStyles.AssumeUniversal);
}
