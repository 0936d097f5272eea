using System.Globalization;
using System.Text;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Delivery.Documents;

/// <summary>A job document as text for people: mail, calendar.</summary>
internal static class JobText
{
    /// <summary>One line that says what it is about.</summary>
    public static string Headline(JobDocument document) => document.Type == JobDocument.TestType
        ? "Test of this channel: nothing is to be done"
        : document.Job.State == JobState.Closed
            ? $"{document.Job.Vessel.Id}: closed, {CauseOf(document.Job.Cause)}"
            : $"{document.Job.Vessel.Id}: {CauseOf(document.Job.Cause)}, due {DayText.Of(document.Job.Due)}";

    /// <summary>The sections in reading order; the cautions are always among them.</summary>
    public static IReadOnlyList<(string Title, IReadOnlyList<string> Lines)> Sections(JobDocument document)
    {
        JobContent job = document.Job;
        List<(string, IReadOnlyList<string>)> sections =
        [
            ("Vessel", [$"{job.Vessel.Id}, {job.Vessel.Description}", job.Vessel.Place]),
            ("Why", [job.Reason]),
        ];
        if (job.State == JobState.Closed)
        {
            sections.Add(("Closed", [job.ClosedBecause ?? "", $"Moment of the data: {Minute(document.Time)}"]));
        }
        else
        {
            if (job.RenewedBecause is { } renewed)
            {
                sections.Add(("Renewed", [renewed]));
            }

            if (job.ReportedDone is { } done)
            {
                sections.Add(("Reported done, no values recorded", [$"{done.Who}, {Minute(done.At)}"]));
            }
            else if (job.Taken is { } taken)
            {
                sections.Add(("Taken on", [$"{taken.Who}, {Minute(taken.At)}"]));
            }

            sections.Add(("Due", [$"{Minute(job.Due)}. {job.DueReason}", $"Priority: {DocumentJson.NameOf(job.Priority)}"]));
            sections.Add(("Prognosis", Prognosis(job)));
            sections.Add(("Before anything else", [job.Isolation]));
            sections.Add(("Work, in this order", [.. job.Steps.Select((step, i) => string.Create(CultureInfo.InvariantCulture, $"{i + 1}. {step}"))]));
            sections.Add(("Gauge pressure to charge to", [.. job.ChargingTargets.Select(row =>
                string.Create(CultureInfo.InvariantCulture, $"gas at {row.GasTemperatureCelsius:0.#} °C: {row.TargetBarGauge:0.0} bar"))]));
            sections.Add(("Filling and settling", job.Filling?.Words ?? []));
            sections.Add(("Nitrogen", job.NitrogenKg is { } mass
                ? [string.Create(CultureInfo.InvariantCulture, $"{mass:0.########} kg, {job.NitrogenStandardLitres:0.########} litres at 0 °C and 1 atm")]
                : []));
            sections.Add(("Parts to take", job.Parts));
            sections.Add(("To be recorded afterwards", job.RecordAfter));
        }

        sections.Add(("Evidence", job.Evidence));
        sections.Add(("Cautions", job.Cautions));
        sections.Add(("Keys", [$"Job {job.Key}", $"Notice {document.Id}"]));
        sections.RemoveAll(section => section.Item2.Count == 0);
        return sections;
    }

    /// <summary>All of it as plain text.</summary>
    public static string Plain(JobDocument document)
    {
        StringBuilder text = new();
        _ = text.Append(Headline(document)).Append('\n');
        foreach ((string title, IReadOnlyList<string> lines) in Sections(document))
        {
            _ = text.Append('\n').Append(title).Append('\n');
            foreach (string line in lines)
            {
                _ = text.Append("  ").Append(line).Append('\n');
            }
        }

        return text.ToString();
    }

    public static string CauseOf(JobCause cause) => cause switch
    {
        JobCause.BelowLowerLimit => "precharge below its lower limit",
        JobCause.FallingFasterThanAllowed => "precharge falls faster than allowed",
        JobCause.AboveUpperLimit => "precharge above its upper limit",
        JobCause.NoWindowTooLong => "no precharge window for too long",
        JobCause.TransducerDrift => "pressure transducer drifts",
        _ => DocumentJson.NameOf(cause),
    };

    private static List<string> Prognosis(JobContent job)
    {
        List<string> lines = [];
        if (job.LowerLimitReached is { } reached)
        {
            lines.Add($"Lower limit reached {DayText.Of(reached)} (best estimate).");
        }

        if (job.RecommendedRecharge is { } recharge)
        {
            lines.Add($"Recharge recommended by {DayText.Of(recharge)}.");
        }

        if (job.LostUsableVolumePercent is { } now)
        {
            string atLimit = job.LostUsableVolumeAtLowerLimitPercent is { } then
                ? string.Create(CultureInfo.InvariantCulture, $", {then:0} % at the lower limit")
                : "";
            lines.Add(string.Create(CultureInfo.InvariantCulture, $"Usable volume lost: {now:0} % now{atLimit}."));
        }

        return lines;
    }

    private static string Minute(DateTimeOffset instant) => instant.UtcDateTime.ToString("yyyy-MM-dd HH:mm 'UTC'", CultureInfo.InvariantCulture);
}
