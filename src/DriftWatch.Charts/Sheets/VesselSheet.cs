using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Sheets;

/// <summary>The record of one vessel: what it is, how it stands, what was seen of it and done to it.</summary>
public static class VesselSheet
{
    /// <summary>Newest windows that are listed; older ones stand in the chart.</summary>
    private const int MostWindows = 24;

    /// <summary>Writes the sheet.</summary>
    /// <param name="vessel">The vessel with its charges and checks.</param>
    /// <param name="windows">Its windows in order of time.</param>
    /// <param name="assessment">What is said of it; null for nothing yet.</param>
    /// <param name="jobs">Its jobs, open and closed.</param>
    /// <param name="asOf">The moment of writing, UTC, for a vessel without an assessment.</param>
    /// <param name="unit">Unit of pressures.</param>
    public static Sheet Write(
        Vessel vessel,
        IReadOnlyList<PrechargeWindow> windows,
        Assessment? assessment,
        IReadOnlyList<SheetJob> jobs,
        DateTimeOffset asOf,
        PressureUnit unit)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(windows);
        ArgumentNullException.ThrowIfNull(jobs);
        var texts = new SheetTexts(unit);
        List<SheetPart> parts =
        [
            assessment is null
                ? new SheetPart.Answer("Not known yet", SheetTexts.Moment(asOf), "No reading of this vessel has come in yet.")
                : new SheetPart.Answer(
                    VerdictNames.AtLineStart(VerdictNames.NameOf(assessment.Verdict)), SheetTexts.Moment(assessment.AsOf),
                    texts.Kept(VerdictWords.Reason(vessel.Specification, assessment, unit))),
            new SheetPart.Facts(State(vessel.Specification, assessment, texts)),
        ];
        if (assessment is not null)
        {
            parts.Add(SheetChart.Of(vessel, windows, assessment, unit));
        }

        parts.AddRange([new SheetPart.Heading("The vessel"), new SheetPart.Facts(Register(vessel, texts))]);
        AddRecords(parts, vessel, texts);
        AddJobs(parts, jobs);
        AddWindows(parts, vessel.Specification, windows, texts);
        parts.Add(new SheetPart.Cautions());
        return new Sheet($"Vessel record: {vessel.Id}", $"{vessel.Description}, {vessel.Place}", assessment?.AsOf ?? asOf, parts);
    }

    private static List<(string Name, string Value)> State(VesselSpecification vessel, Assessment? now, SheetTexts texts)
    {
        List<(string Name, string Value)> facts =
        [
            ($"Precharge at {SheetTexts.Celsius(vessel.ReferenceTemperature)}", texts.Level(vessel, now) is { } level ? $"{level} (k = 2){(now?.FoundByHand is { } found ? $", found by hand on {SheetTexts.Day(found)}" : "")}" : "no window yet"),
            ("Loss", $"{(texts.Loss(now) is { } loss ? $"{loss} (95 %)" : "too few points")}; allowed {texts.Allowed(vessel)}"),
            ("Last window", SheetTexts.Day(now?.LastWindow, "none yet")),
        ];
        if (now is { Forecast: { } forecast } && now.Verdict != Verdict.BelowLowerLimit)
        {
            facts.Add(("Lower limit reached", forecast.Earliest is { } earliest
                ? $"{(earliest > now.AsOf ? $"not before {SheetTexts.Day(earliest)}" : "may be already")}; best estimate {SheetTexts.Day(forecast.Crossing, "not in sight")}, latest {SheetTexts.Day(forecast.Latest, "open")} (95 %)"
                : "not in sight"));
        }

        if (now is { DataFault.Length: > 0 })
        {
            facts.Add(("Data", texts.Kept(now.DataFault)));
        }

        return facts;
    }

    private static List<(string Name, string Value)> Register(Vessel vessel, SheetTexts texts)
    {
        var specification = vessel.Specification;
        List<(string Name, string Value)> facts =
        [
            ("Kind", specification.Type.ToString().ToLowerInvariant()),
            ("Gas volume, fluid side empty", SheetTexts.Number(specification.GasVolume.Litres, "0.##", "litres")),
            ("Nominal precharge", $"{texts.Chosen(specification.NominalPrecharge)} at {SheetTexts.Celsius(specification.ReferenceTemperature)}"),
            ("Limits", $"{texts.Chosen(specification.LowerLimit)} to {texts.Chosen(specification.UpperLimit)}"),
            ("Air pressure", SheetTexts.Number(specification.Ambient.Pascals / 100, "0", "hPa")),
            ("Longest time without a window", SheetTexts.Number(specification.LongestSilence.TotalDays, "0.#", "days")),
        ];
        if (specification.LowestWorkingPressure is { } lowest && specification.HighestWorkingPressure is { } highest)
        {
            facts.Add(("Working pressures", $"{texts.Chosen(lowest)} to {texts.Chosen(highest)}"));
        }

        return facts;
    }

    private static void AddRecords(List<SheetPart> parts, Vessel vessel, SheetTexts texts)
    {
        parts.Add(new SheetPart.Heading("Work on record"));
        var changes = vessel.TransducerChanges.Select(at => (At: at, Row: Bare(at, "transducer changed")));
        var charges = vessel.RecordedCharges.Select(charge => (charge.At, Row: Seen(charge, "charge or bleed")));
        var checks = vessel.RecordedChecks.Select(check => (check.At, Row: Seen(check, "check by hand")));
        List<IReadOnlyList<string>> rows = [.. charges.Concat(changes).Concat(checks).OrderByDescending(record => record.At).Select(record => record.Row)];
        parts.Add(rows.Count == 0
            ? new SheetPart.Paragraph("None.")
            : new SheetPart.Grid(
                $"Newest first; pressures are gauge, precharge at {SheetTexts.Celsius(vessel.Specification.ReferenceTemperature)}",
                ["When", "What", "Gas pressure", "Gas temperature", "Precharge"], [0.26, 0.2, 0.18, 0.18, 0.18], rows));

        IReadOnlyList<string> Seen(PrechargeCheck seen, string what) =>
        [
            SheetTexts.Moment(seen.At),
            what,
            seen.Pressure is { } pressure ? $"{texts.Number(pressure.Pascals)} {texts.Unit.Symbol}" : "",
            seen.Temperature is { } temperature ? SheetTexts.Celsius(temperature) : "",
            seen.PrechargeOf(vessel.Specification) is { } precharge ? $"{texts.Number(precharge.Pascals)} {texts.Unit.Symbol}" : "",
        ];
    }

    private static IReadOnlyList<string> Bare(DateTimeOffset at, string what) => [SheetTexts.Moment(at), what, "", "", ""];

    private static void AddJobs(List<SheetPart> parts, IReadOnlyList<SheetJob> jobs)
    {
        parts.Add(new SheetPart.Heading("Jobs"));
        parts.Add(jobs.Count == 0
            ? new SheetPart.Paragraph("None.")
            : new SheetPart.Grid(
                "Newest first",
                ["Raised", "Cause", "Due", "Ended", "How"], [0.15, 0.35, 0.15, 0.15, 0.2],
                [.. jobs.OrderByDescending(job => job.Job.Raised).Select(job => (IReadOnlyList<string>)
                [
                    SheetTexts.Day(job.Job.Raised), SheetTexts.Name(job.Job.Cause), SheetTexts.Day(job.Job.Due),
                    SheetTexts.Day(job.Closed, ""), SheetTexts.Name(job.End),
                ])]));
    }

    private static void AddWindows(List<SheetPart> parts, VesselSpecification vessel, IReadOnlyList<PrechargeWindow> windows, SheetTexts texts)
    {
        parts.Add(new SheetPart.Heading("Precharge windows"));
        if (windows.Count == 0)
        {
            parts.Add(new SheetPart.Paragraph("None yet."));
            return;
        }

        parts.Add(new SheetPart.Grid(
            $"The newest {Math.Min(MostWindows, windows.Count)} of {windows.Count}; k = 2",
            ["Middle", texts.Head("Read"), "Gas", texts.Head($"At {SheetTexts.Celsius(vessel.ReferenceTemperature)}"), "Standing"],
            [0.25, 0.19, 0.12, 0.24, 0.2],
            [.. windows.Reverse().Take(MostWindows).Select(window => (IReadOnlyList<string>)
            [
                SheetTexts.Moment(window.Middle),
                texts.Number(window.MeanPressurePa - vessel.Ambient.Pascals),
                SheetTexts.Celsius(window.MeanTemperatureK - GasTemperature.IcePointKelvins),
                double.IsFinite(window.PrechargePa)
                    ? $"{texts.Number(window.PrechargePa - vessel.Ambient.Pascals)} ± {texts.Small(CoverageFactor.Expanded * double.Hypot(window.RandomUncertaintyPa, window.SharedUncertaintyPa))}"
                    : "",
                window.Standing switch
                {
                    WindowStanding.Accepted => "taken",
                    WindowStanding.Ambiguous => "not decided yet",
                    _ => "left out",
                },
            ])]));
    }
}
