using System.Globalization;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Priorities;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Sheets;

/// <summary>
/// The report of a fleet for a month: how the vessels stand now, and what the month brought: windows, precharge at its
/// beginning and end, jobs raised and ended.
/// </summary>
public static class FleetSheet
{
    /// <summary>Vessels, and jobs, that are listed at most: nobody reads more at a time.</summary>
    public const int MostListed = 500;

    /// <summary>Writes the report.</summary>
    /// <param name="plant">Name of the plant.</param>
    /// <param name="lines">The vessels; in the order of <see cref="Order"/> the first <see cref="MostListed"/> are listed, all are counted.</param>
    /// <param name="year">Year of the month, UTC; 1 to 9998.</param>
    /// <param name="month">Month, 1 to 12.</param>
    /// <param name="asOf">The moment of the newest data, UTC.</param>
    /// <param name="unit">Unit of pressures.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such month.</exception>
    public static Sheet Write(string plant, IReadOnlyList<FleetLine> lines, int year, int month, DateTimeOffset asOf, PressureUnit unit)
    {
        ArgumentNullException.ThrowIfNull(lines);
        (DateTimeOffset from, DateTimeOffset to) = Span(year, month);
        var name = from.ToString("MMMM yyyy", CultureInfo.InvariantCulture);
        var texts = new SheetTexts(unit);
        IReadOnlyList<FleetLine> ordered = Order(lines);
        IReadOnlyList<FleetLine> listed = [.. ordered.Take(MostListed)];
        List<SheetPart> parts =
        [
            new SheetPart.Paragraph($"State of {lines.Count} vessels as of {SheetTexts.Moment(asOf)}, and what {name} brought{(asOf < to ? " until then" : "")}."),
            Counts(ordered, asOf),
            new SheetPart.Heading("How they stand, the most urgent first"),
            .. Shortened("vessels", "the most urgent", ordered.Count),
            State(listed, texts),
            new SheetPart.Heading($"What {name} brought"),
            Month(listed, from, to, texts),
            new SheetPart.Heading($"Jobs raised or ended in {name}, and those that stand"),
            .. Jobs(ordered, from, to),
            new SheetPart.Cautions(),
        ];
        return new Sheet($"Fleet report: {name}", plant, asOf, parts);
    }

    /// <summary>The vessels in the order of the report: what needs a hand first.</summary>
    public static IReadOnlyList<FleetLine> Order(IEnumerable<FleetLine> lines) =>
        [.. Urgency.MostUrgentFirst(lines, line => line.Vessel, line => line.Assessment)];

    /// <summary>A month, from its beginning to before its end, UTC.</summary>
    /// <param name="year">Year, 1 to 9998.</param>
    /// <param name="month">Month, 1 to 12.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such month.</exception>
    public static (DateTimeOffset From, DateTimeOffset To) Span(int year, int month)
    {
        if (!(year is >= 1 and <= 9998 && month is >= 1 and <= 12))
        {
            throw new ArgumentOutOfRangeException(
                nameof(month), $"{year}-{month}", "There is no such month: give a year of 1 to 9998 and a month of 1 to 12.");
        }

        var from = new DateTimeOffset(year, month, 1, 0, 0, 0, TimeSpan.Zero);
        return (from, from.AddMonths(1));
    }

    private static Verdict VerdictOf(FleetLine line) => line.Assessment?.Verdict ?? Verdict.NotKnownYet;

    private static SheetPart.Facts Counts(IReadOnlyList<FleetLine> lines, DateTimeOffset asOf) => new(
    [
        .. VerdictNames.ByUrgency
            .Select(verdict => (Verdict: verdict, Count: lines.Count(line => VerdictOf(line) == verdict)))
            .Where(pair => pair.Count > 0)
            .Select(pair => (
                VerdictNames.AtLineStart(VerdictNames.NameOf(pair.Verdict)),
                string.Create(CultureInfo.InvariantCulture, $"{pair.Count} vessel{(pair.Count == 1 ? "" : "s")} on {SheetTexts.Day(asOf)}"))),
    ]);

    private static SheetPart.Grid State(IReadOnlyList<FleetLine> lines, SheetTexts texts) => new(
        "Precharge at the vessel's reference temperature with k = 2; loss with 95 %",
        ["Vessel", "Verdict and its date", "Precharge", "Loss", "Lower limit not before"],
        [0.16, 0.27, 0.22, 0.2, 0.15],
        [.. lines.Select(line => (IReadOnlyList<string>)
        [
            $"{line.Vessel.Id}, {line.Vessel.Place}",
            line.Assessment is { } now ? $"{VerdictNames.NameOf(now.Verdict)}, {SheetTexts.Day(now.AsOf)}" : "no reading yet",
            texts.Level(line.Vessel.Specification, line.Assessment) ?? "no window yet",
            texts.Loss(line.Assessment) ?? "too few points",
            LowerLimit(line.Assessment),
        ])]);

    private static string LowerLimit(Assessment? now) => now switch
    {
        { Verdict: Verdict.BelowLowerLimit } => "crossed",
        { Forecast: { Earliest: { } earliest } } => earliest > now.AsOf ? SheetTexts.Day(earliest) : "may be reached already",
        { Forecast: not null } => "not in sight",
        _ => "no trend yet",
    };

    private static SheetPart.Grid Month(IReadOnlyList<FleetLine> lines, DateTimeOffset from, DateTimeOffset to, SheetTexts texts) => new(
        "First and last window taken in the month; charges and checks on record",
        ["Vessel", "Windows taken", "First precharge", "Last precharge", "Charges", "Checks"],
        [0.2, 0.14, 0.22, 0.22, 0.11, 0.11],
        [.. lines.Select(line => Row(line, [.. line.Windows.Where(window => window.Standing == WindowStanding.Accepted && window.Middle >= from && window.Middle < to)], from, to, texts))]);

    private static IReadOnlyList<string> Row(
        FleetLine line, IReadOnlyList<PrechargeWindow> taken, DateTimeOffset from, DateTimeOffset to, SheetTexts texts)
    {
        string Level(PrechargeWindow window) => texts.Gauge(window.PrechargePa - line.Vessel.Specification.Ambient.Pascals);
        bool Within(DateTimeOffset at) => at >= from && at < to;
        return
        [
            line.Vessel.Id,
            Count(taken.Count),
            taken.Count > 0 ? Level(taken[0]) : "no window",
            taken.Count > 0 ? Level(taken[^1]) : "no window",
            Count(line.Vessel.RecordedCharges.Count(charge => Within(charge.At))),
            Count(line.Vessel.RecordedChecks.Count(check => Within(check.At))),
        ];
    }

    /// <summary>What is left out is told.</summary>
    private static IEnumerable<SheetPart> Shortened(string what, string which, int count)
    {
        if (count > MostListed)
        {
            yield return new SheetPart.Paragraph(string.Create(
                CultureInfo.InvariantCulture, $"{MostListed} of {count} {what} are listed, {which}. The report of one place lists fewer and leaves out none: ask for it by place."));
        }
    }

    private static IEnumerable<SheetPart> Jobs(IReadOnlyList<FleetLine> lines, DateTimeOffset from, DateTimeOffset to)
    {
        bool Within(DateTimeOffset? at) => at >= from && at < to;
        IReadOnlyList<IReadOnlyList<string>> rows =
        [
            .. lines.SelectMany(line => line.Jobs)
                .Where(job => job.Closed is null || Within(job.Job.Raised) || Within(job.Closed))
                .OrderBy(job => job.Job.Due)
                .Select(job => (IReadOnlyList<string>)
                [
                    job.Job.VesselId, SheetTexts.Name(job.Job.Cause), SheetTexts.Day(job.Job.Raised), SheetTexts.Day(job.Job.Due),
                    SheetTexts.Day(job.Closed, ""), SheetTexts.Name(job.End),
                ]),
        ];
        return rows.Count == 0
            ? [new SheetPart.Paragraph("None.")]
            :
            [
                .. Shortened("jobs", "those due first", rows.Count),
                new SheetPart.Grid(
                    "In order of their due dates", ["Vessel", "Cause", "Raised", "Due", "Ended", "How"], [0.14, 0.3, 0.13, 0.13, 0.13, 0.17],
                    [.. rows.Take(MostListed)]),
            ];
    }

    private static string Count(int count) => count.ToString(CultureInfo.InvariantCulture);
}
