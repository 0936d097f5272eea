using DriftWatch.Gas.Units;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Sheets;

/// <summary>
/// The sheet of one job, to be taken to the vessel: complete enough to do the work from and to write on. That of a job that has
/// ended says so first and asks for nothing.
/// </summary>
public static class JobSheet
{
    /// <summary>Of an amount that a job holds to three digits already: a small vessel's few grams are not nothing.</summary>
    private const string ThreeDigits = "0.########";

    /// <summary>Writes the sheet.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="notice">The last notice of the job.</param>
    /// <param name="windows">The vessel's windows, for the chart.</param>
    /// <param name="assessment">What is said of the vessel now; null for nothing yet.</param>
    /// <param name="unit">Unit of pressures.</param>
    public static Sheet Write(Vessel vessel, JobNotice notice, IReadOnlyList<PrechargeWindow> windows, Assessment? assessment, PressureUnit unit)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(notice);
        ArgumentNullException.ThrowIfNull(windows);
        var texts = new SheetTexts(unit);
        var ended = notice.State == JobState.Closed;
        Job job = ended ? notice.Job : JobLedger.AsOfNow(vessel, notice.Job, assessment);
        List<SheetPart> parts = ended ? Ended(notice, assessment, texts)
            : Standing(vessel, job, ReferenceEquals(job, notice.Job) ? $"as told on {SheetTexts.Moment(notice.At)}" : $"by the data up to {SheetTexts.Moment(assessment!.AsOf)}", assessment, texts);
        parts.AddRange([new SheetPart.Heading(ended ? "What it rested on" : "What it rests on"), new SheetPart.Bullets([.. job.Evidence.Select(texts.Kept)])]);
        if (assessment is not null)
        {
            parts.Add(SheetChart.Of(vessel, windows, assessment, unit));
        }

        return new Sheet(
            $"Job sheet{(ended ? ", ended" : "")}: {job.VesselId}",
            $"{job.VesselDescription}, {job.VesselPlace}",
            assessment?.AsOf ?? (ended ? notice.At : job.Raised),
            parts);
    }

    private static List<SheetPart> Standing(Vessel vessel, Job job, string from, Assessment? assessment, SheetTexts texts)
    {
        List<SheetPart> parts =
        [
            new SheetPart.Answer(
                VerdictNames.AtLineStart(SheetTexts.Name(job.Cause)), from, texts.Kept(job.Reason)),
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
        return parts;
    }

    /// <summary>Steps, charging and lines to write on are left out: nobody is to work from them any more.</summary>
    private static List<SheetPart> Ended(JobNotice notice, Assessment? assessment, SheetTexts texts)
    {
        var job = notice.Job;
        List<(string Name, string Value)> facts =
        [
            ("Was raised for", $"{SheetTexts.Name(job.Cause)}, by the data up to {SheetTexts.Moment(job.Raised)}"),
            ("Reason then", texts.Kept(job.Reason)),
            ("Was due", SheetTexts.Day(job.Due)),
        ];
        if (job.Taken is { } taken)
        {
            facts.Add(("Taken on", $"by {taken.Who}, {SheetTexts.Moment(taken.At)}"));
        }

        if (job.ReportedDone is { } done)
        {
            facts.Add(("Reported done", $"by {done.Who}, {SheetTexts.Moment(done.At)}"));
        }

        AddStateAndKey(facts, job, assessment, texts);
        return
        [
            new SheetPart.Answer(
                $"This job has ended ({SheetTexts.Name(notice.End ?? JobEnd.CauseEnded)})", SheetTexts.Moment(notice.At), texts.Kept(notice.Why)),
            new SheetPart.Paragraph("This job asks for no work any more. What is open for the vessel stands on its page."),
            new SheetPart.Facts(facts),
            new SheetPart.Cautions(),
        ];
    }

    private static List<(string Name, string Value)> Facts(Job job, Assessment? assessment, SheetTexts texts)
    {
        List<(string Name, string Value)> facts =
        [
            ("Due", $"{SheetTexts.Day(job.Due)}{(assessment?.AsOf > job.Due ? ", overdue" : "")}. {job.DueReason}"),
            ("Raised", SheetTexts.Moment(job.Raised)),
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
            facts.Add(("Nitrogen needed", $"{SheetTexts.Number(kilograms, ThreeDigits, "kg")}, {SheetTexts.Number(litres, ThreeDigits, "standard litres (0 °C, 101.325 kPa)")}"));
        }

        if (job.LostUsableShare is { } share)
        {
            facts.Add(("Usable fluid volume lost", SheetTexts.Number(100 * share, "0", "%")));
        }

        AddStateAndKey(facts, job, assessment, texts);
        return facts;
    }

    private static void AddStateAndKey(List<(string Name, string Value)> facts, Job job, Assessment? assessment, SheetTexts texts)
    {
        if (assessment is not null)
        {
            facts.Add(("Verdict now", $"{VerdictNames.NameOf(assessment.Verdict)}, {SheetTexts.Moment(assessment.AsOf)}"));
        }

        facts.Add(("Job", $"{job.Key}, revision {job.Revision}; pressures in {texts.Unit.Symbol}"));
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
