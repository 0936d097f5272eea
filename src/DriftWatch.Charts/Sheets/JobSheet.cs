using DriftWatch.Gas.Units;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Sheets;

/// <summary>The sheet of one job, to be taken to the vessel: complete enough to do the work from and to write on.</summary>
public static class JobSheet
{
    /// <summary>Writes the sheet.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="job">The job.</param>
    /// <param name="windows">The vessel's windows, for the chart.</param>
    /// <param name="assessment">What is said of the vessel now; null for nothing yet.</param>
    /// <param name="unit">Unit of pressures.</param>
    public static Sheet Write(Vessel vessel, Job job, IReadOnlyList<PrechargeWindow> windows, Assessment? assessment, PressureUnit unit)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(job);
        ArgumentNullException.ThrowIfNull(windows);
        var texts = new SheetTexts(unit);
        List<SheetPart> parts =
        [
            new SheetPart.Answer(
                SheetTexts.Upper(SheetTexts.Name(job.Cause)), $"by the data up to {SheetTexts.Moment(job.Raised)}", texts.Kept(job.Reason)),
            new SheetPart.Facts(Facts(job, assessment, texts)),
            new SheetPart.Cautions(),
            new SheetPart.Heading("Work, in this order"),
            new SheetPart.Steps(job.Steps),
        ];
        AddCharging(parts, vessel, job, texts);
        if (job.Parts.Count > 0)
        {
            parts.AddRange([new SheetPart.Heading("Take along"), new SheetPart.Bullets(job.Parts)]);
        }

        parts.AddRange([new SheetPart.Heading("To be written down"), new SheetPart.Blanks(job.RecordAfter)]);
        parts.AddRange([new SheetPart.Heading("What it rests on"), new SheetPart.Bullets([.. job.Evidence.Select(texts.Kept)])]);
        if (assessment is not null)
        {
            parts.Add(SheetChart.Of(vessel, windows, assessment, unit));
        }

        return new Sheet(
            $"Job sheet: {job.VesselId}",
            $"{job.VesselDescription}, {job.VesselPlace}",
            assessment?.AsOf ?? job.Raised,
            parts);
    }

    private static List<(string Name, string Value)> Facts(Job job, Assessment? assessment, SheetTexts texts)
    {
        List<(string Name, string Value)> facts =
        [
            ("Due", $"{SheetTexts.Day(job.Due)}. {job.DueReason}"),
            ("Priority", SheetTexts.Name(job.Priority)),
        ];
        if (job.Taken is { } taken)
        {
            facts.Add(("Taken on", $"by {taken.Who}, {SheetTexts.Moment(taken.At)}"));
        }

        if (job.ReportedDone is { } done)
        {
            facts.Add(("Reported done", $"by {done.Who}, {SheetTexts.Moment(done.At)}; nothing is recorded that ends it"));
        }

        if (job.NitrogenKg is { } kilograms && job.NitrogenStandardLitres is { } litres)
        {
            facts.Add(("Nitrogen needed", $"{SheetTexts.Number(kilograms, "0.00", "kg")}, {SheetTexts.Number(litres, "0", "standard litres (0 °C, 101.325 kPa)")}"));
        }

        if (job.LostUsableShare is { } share)
        {
            facts.Add(("Usable fluid volume lost", SheetTexts.Number(100 * share, "0", "%")));
        }

        if (assessment is not null)
        {
            facts.Add(("Verdict now", $"{Content.ChartTexts.Name(assessment.Verdict)}, {SheetTexts.Moment(assessment.AsOf)}"));
        }

        facts.Add(("Job", $"{job.Key}, revision {job.Revision}; pressures in {texts.Unit.Symbol}"));
        return facts;
    }

    private static void AddCharging(List<SheetPart> parts, Vessel vessel, Job job, SheetTexts texts)
    {
        if (job.ChargingTargets.Count > 0)
        {
            parts.Add(new SheetPart.Heading($"Gauge pressure that is the nominal precharge of {texts.Chosen(vessel.Specification.NominalPrecharge)} at {SheetTexts.Celsius(vessel.Specification.ReferenceTemperature)}"));
            parts.Add(ChargingGrid.Of(job.ChargingTargets, texts));
        }

        if (job.Filling is { } filling)
        {
            parts.Add(new SheetPart.Bullets(FillingWords.Of(filling, texts.Unit)));
        }
    }
}
