using System.Globalization;
using System.Text.RegularExpressions;
using System.Xml.Linq;
using DriftWatch.Charts.Sheets;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Charts.Tests;

/// <summary>The sheets, read back by a PDF reader of other people's making.</summary>
public sealed partial class SheetTests
{
    public static TheoryData<string> Names => ["job", "ended", "vessel", "fleet", "silent"];

    [Theory]
    [MemberData(nameof(Names))]
    public void A_pdf_is_tagged_titled_numbered_and_all_vector(string name)
    {
        Sheet sheet = Make(name);
        string file = Kept(sheet, name);
        string info = PopplerTools.Info(file);
        Assert.Matches($@"Title:\s+{Regex.Escape(sheet.Title)}", info);
        Assert.Matches(@"Tagged:\s+yes", info);
        Assert.Matches(@"Page size:\s+595[.\d]* x 84[12][.\d]* pts \(A4\)", info);
        Assert.Empty(PopplerTools.Images(file));
        Assert.All(PopplerTools.Fonts(file), font => Assert.Matches(@"\syes\s+(yes|no)\s+yes\s", font));

        string[] pages = PopplerTools.Text(file).TrimEnd('\f').Split('\f');
        Assert.Equal(int.Parse(PageCount().Match(info).Groups[1].Value, CultureInfo.InvariantCulture), pages.Length);
        for (int n = 0; n < pages.Length; n++)
        {
            Assert.Contains($"Page {n + 1} of {pages.Length}", pages[n], StringComparison.Ordinal);
        }

        Assert.Contains("/Lang(en)", File.ReadAllText(file, System.Text.Encoding.Latin1).Replace(" ", "", StringComparison.Ordinal), StringComparison.Ordinal);
        string structure = PopplerTools.Structure(file);
        Assert.Contains("H1", structure, StringComparison.Ordinal);
        Assert.Equal(name is "job" or "ended" or "vessel" or "silent", structure.Contains("Figure", StringComparison.Ordinal));
    }

    [Theory]
    [MemberData(nameof(Names))]
    public void Every_sheet_has_the_cautions_and_a_date_with_each_verdict(string name)
    {
        Sheet sheet = Make(name);
        foreach (string text in (string[])[Flat(PopplerTools.Text(Kept(sheet, name))), Flat(TextOf(sheet.ToHtml()))])
        {
            Assert.All(SafetyLines.All, line => Assert.Contains(line, text, StringComparison.Ordinal));
            Assert.Matches(@"\d{4}-\d\d-\d\d", text);
        }
    }

    [Fact]
    public void A_job_sheet_has_all_that_the_work_needs_in_both_forms()
    {
        (ChartCase made, Job job) = LeakJob();
        Sheet sheet = JobSheet.Write(made.Vessel, Open(job), made.Windows, made.Assessment, PressureUnit.Bar);
        foreach (string text in (string[])[Flat(PopplerTools.Text(Kept(sheet, "job"))), Flat(TextOf(sheet.ToHtml()))])
        {
            Assert.All(job.Steps, step => Assert.Contains(Flat(step), text, StringComparison.Ordinal));
            Assert.All(job.Parts, part => Assert.Contains(Flat(part), text, StringComparison.Ordinal));
            Assert.All(job.RecordAfter, line => Assert.Contains(Flat(line), text, StringComparison.Ordinal));
            Assert.Contains(job.Key, text, StringComparison.Ordinal);
            Assert.Contains(job.Due.UtcDateTime.ToString("yyyy-MM-dd", CultureInfo.InvariantCulture), text, StringComparison.Ordinal);

            // 100 bar gauge at 20 degrees C is the target at 20 degrees C, whatever the gas does.
            Assert.Matches(@"20 °C\s+100\.0 bar", text);
        }
    }

    [Fact]
    public void The_pressure_unit_is_the_readers()
    {
        (ChartCase made, Job job) = LeakJob();
        string text = Flat(TextOf(JobSheet.Write(made.Vessel, Open(job), made.Windows, made.Assessment, PressureUnit.Psi).ToHtml()));

        // 100 bar = 1450.4 psi (1 psi = 6894.757 Pa, NIST SP 811, appendix B).
        Assert.Matches(@"20 °C\s+1450 psi", text);

        // Steps, filling, reason and evidence with it: no other unit of pressure stands on the sheet.
        Assert.DoesNotMatch(@"\bbar\b", Regex.Replace(text, "bar: 95 %", ""));
    }

    /// <summary>The queue is told of a job once; who takes its sheet along months later needs what is lacking then.</summary>
    [Fact]
    public void A_job_sheet_has_the_figures_of_the_day_and_says_of_which()
    {
        (ChartCase made, _) = LeakJob();
        Assessment early = made.Assessment with { AsOf = made.Assessment.AsOf.AddDays(-150), PrechargePa = made.Assessment.PrechargePa + 4e5 };
        Job told = JobWriter.Write(made.Vessel, JobCause.FallingFasterThanAllowed, early);
        Job now = JobWriter.Write(made.Vessel, JobCause.FallingFasterThanAllowed, made.Assessment);
        Assert.NotEqual(told.NitrogenKg, now.NitrogenKg);
        string text = Flat(TextOf(JobSheet.Write(made.Vessel, Open(told), made.Windows, made.Assessment, PressureUnit.Bar).ToHtml()));
        Assert.Contains(string.Create(CultureInfo.InvariantCulture, $"Nitrogen needed {now.NitrogenKg:0.########} kg"), text, StringComparison.Ordinal);
        Assert.Contains(now.Evidence[0], text, StringComparison.Ordinal);
        Assert.DoesNotContain(told.Evidence[0], text, StringComparison.Ordinal);
        Assert.Contains($"by the data up to {made.Assessment.AsOf.UtcDateTime:yyyy-MM-dd HH:mm} UTC", text, StringComparison.Ordinal);
        Assert.Contains($"Raised {told.Raised.UtcDateTime:yyyy-MM-dd HH:mm} UTC", text, StringComparison.Ordinal);
        Assert.Contains(", overdue. ", text, StringComparison.Ordinal);
    }

    [Fact]
    public void Little_nitrogen_is_told_to_its_digits()
    {
        (ChartCase made, Job job) = LeakJob();
        Vessel small = made.Vessel with { Specification = made.Vessel.Specification with { GasVolume = GasVolume.FromLitres(0.01) } };
        string text = Flat(TextOf(JobSheet.Write(small, Open(job), made.Windows, made.Assessment, PressureUnit.Bar).ToHtml()));
        string told = Regex.Match(text, @"Nitrogen needed 0\.(\d+) kg").Groups[1].Value;
        Assert.True(told.Length > 3 && told.TrimStart('0').Length is >= 1 and <= 3, text);
    }

    /// <summary>A sheet of a job that has ended says so and why, and nobody can work from it.</summary>
    [Fact]
    public void The_sheet_of_a_job_that_has_ended_asks_for_nothing()
    {
        (ChartCase made, Job job) = LeakJob();
        Sheet sheet = JobSheet.Write(made.Vessel, Ended(job), made.Windows, made.Assessment, PressureUnit.Bar);
        foreach (string text in (string[])[Flat(PopplerTools.Text(Kept(sheet, "ended"))), Flat(TextOf(sheet.ToHtml()))])
        {
            Assert.Contains("Job sheet, ended", text, StringComparison.Ordinal);
            Assert.Matches(@"This job has ended \(withdrawn\)\W+2025-10-01 06:00 UTC", text);
            Assert.Contains("Readings that came late changed the picture.", text, StringComparison.Ordinal);
            Assert.Contains(job.Key, text, StringComparison.Ordinal);
            Assert.All(job.Steps, step => Assert.DoesNotContain(Flat(step), text, StringComparison.Ordinal));
            Assert.DoesNotContain("To be written down", text, StringComparison.Ordinal);
            Assert.DoesNotContain("Gauge pressure that is the nominal", text, StringComparison.Ordinal);
        }
    }

    [Fact]
    public void Hostile_words_stay_words_in_html()
    {
        (ChartCase made, Job job) = LeakJob();
        Sheet sheet = JobSheet.Write(
            made.Vessel, Open(job with { VesselPlace = "<script>alert(1)</script> & \"yard\"" }), made.Windows, made.Assessment, PressureUnit.Bar);
        Assert.DoesNotContain("<script", sheet.ToHtml(), StringComparison.OrdinalIgnoreCase);
        Assert.Contains("<script>alert(1)</script> & \"yard\"", TextOf(sheet.ToHtml()), StringComparison.Ordinal);
    }

    [Fact]
    public void A_long_fleet_breaks_into_pages_with_the_head_of_the_table_on_each()
    {
        ChartCase made = ChartCase.SlowLeak();
        List<FleetLine> lines = [.. Enumerable.Range(0, 150).Select(n => new FleetLine(
            made.Vessel with { Id = string.Create(CultureInfo.InvariantCulture, $"V-{n:000}") }, made.Assessment, made.Windows, []))];
        string[] pages = PopplerTools.Text(Kept(FleetSheet.Write("Invented works", lines, 2025, 9, made.Assessment.AsOf, PressureUnit.Bar), "fleet-150"))
            .TrimEnd('\f').Split('\f');
        Assert.True(pages.Length > 6);
        string text = string.Concat(pages);
        Assert.All(lines, line => Assert.Equal(2, Regex.Count(text, line.Vessel.Id + @"\b")));
        Assert.All(pages[1..3], page => Assert.Contains("Verdict and its date", page, StringComparison.Ordinal));
    }

    [Fact]
    public void Of_a_very_large_fleet_all_are_counted_and_the_most_urgent_listed()
    {
        ChartCase made = ChartCase.SlowLeak();
        ChartCase quiet = ChartCase.NoPoints();
        List<FleetLine> lines =
        [
            .. Enumerable.Range(0, FleetSheet.MostListed).Select(n => new FleetLine(quiet.Vessel with { Id = string.Create(CultureInfo.InvariantCulture, $"Q-{n:000}") }, null, [], [])),
            new FleetLine(made.Vessel with { Id = "Z-1" }, made.Assessment, made.Windows, []),
        ];
        Assert.Equal("Z-1", FleetSheet.Order(lines)[0].Vessel.Id);
        string text = TextOf(FleetSheet.Write("Invented works", lines, 2025, 9, made.Assessment.AsOf, PressureUnit.Bar).ToHtml());
        Assert.Contains("State of 501 vessels", text, StringComparison.Ordinal);
        Assert.Contains("500 of 501 vessels are listed, the most urgent", text, StringComparison.Ordinal);
        Assert.Contains("500 vessels on", text, StringComparison.Ordinal);
        Assert.Contains("Z-1", text, StringComparison.Ordinal);
        Assert.Contains("Q-498", text, StringComparison.Ordinal);
        Assert.DoesNotContain("Q-499", text, StringComparison.Ordinal);
    }

    /// <summary>The same order as on the page of all vessels: of two below the limit the one with less gas stands first, of two that leak the one whose limit is nearer.</summary>
    [Fact]
    public void The_most_urgent_stands_first_within_a_verdict_too()
    {
        ChartCase below = ChartCase.BelowLimit();
        ChartCase leak = ChartCase.SlowLeak();
        FleetLine[] lines =
        [
            Line("A", leak, leak.Assessment),
            Line("B", leak, leak.Assessment with { Forecast = leak.Assessment.Forecast! with { Earliest = leak.Assessment.AsOf.AddDays(1) } }),
            Line("C", below, below.Assessment),
            Line("D", below, below.Assessment with { PrechargePa = 1.1e5 }),
        ];
        Assert.Equal(["D", "C", "B", "A"], FleetSheet.Order(lines).Select(line => line.Vessel.Id));

        static FleetLine Line(string id, ChartCase made, Assessment now) => new(made.Vessel with { Id = id }, now, made.Windows, []);
    }

    /// <summary>Beyond what can be foretold, 'never' would be a promise; a date that lies behind would be no news.</summary>
    [Fact]
    public void A_forecast_promises_nothing()
    {
        ChartCase made = ChartCase.SlowLeak();
        DateTimeOffset now = made.Assessment.AsOf;
        Assert.Contains("Lower limit reached not in sight", Record(null, null, null), StringComparison.Ordinal);
        Assert.Contains("Lower limit reached may be already; best estimate not in sight, latest open (95 %)", Record(now.AddDays(-1), null, null), StringComparison.Ordinal);
        Assert.Contains($"not before {now.AddDays(9).UtcDateTime:yyyy-MM-dd}; best estimate", Record(now.AddDays(9), now.AddDays(20), null), StringComparison.Ordinal);

        string Record(DateTimeOffset? earliest, DateTimeOffset? best, DateTimeOffset? latest) => Flat(TextOf(VesselSheet.Write(
            made.Vessel, made.Windows, made.Assessment with { Forecast = new CrossingForecast(best, earliest, latest) }, [], now, PressureUnit.Bar).ToHtml()));
    }

    [Theory]
    [InlineData(2025, 13)]
    [InlineData(0, 1)]
    public void A_month_that_is_none_is_refused(int year, int month) => Assert.Throws<ArgumentOutOfRangeException>(
        () => FleetSheet.Write("Invented works", [], year, month, ChartCase.Start, PressureUnit.Bar));

    private static Sheet Make(string name)
    {
        (ChartCase made, Job job) = LeakJob();
        ChartCase quiet = ChartCase.NoPoints();
        return name switch
        {
            "job" => JobSheet.Write(made.Vessel, Open(job), made.Windows, made.Assessment, PressureUnit.Bar),
            "ended" => JobSheet.Write(made.Vessel, Ended(job), made.Windows, made.Assessment, PressureUnit.Bar),
            "vessel" => VesselSheet.Write(made.Vessel, made.Windows, made.Assessment, [new SheetJob(job, null, null)], made.Assessment.AsOf, PressureUnit.Bar),
            "silent" => VesselSheet.Write(quiet.Vessel, quiet.Windows, quiet.Assessment, [], quiet.Assessment.AsOf, PressureUnit.Bar),
            _ => FleetSheet.Write(
                "Invented works",
                [
                    new FleetLine(made.Vessel, made.Assessment, made.Windows, [new SheetJob(job, null, null)]),
                    new FleetLine(quiet.Vessel with { Id = "press-3" }, null, [], []),
                ],
                2025, 9, made.Assessment.AsOf, PressureUnit.Bar),
        };
    }

    private static (ChartCase Case, Job Job) LeakJob()
    {
        ChartCase made = ChartCase.SlowLeak();
        return (made, JobWriter.Write(made.Vessel, JobCause.FallingFasterThanAllowed, made.Assessment));
    }

    private static JobNotice Open(Job job) => new(job, JobState.Open, job.Raised, "");

    private static JobNotice Ended(Job job) =>
        new(job with { Revision = 2 }, JobState.Closed, new DateTimeOffset(2025, 10, 1, 6, 0, 0, TimeSpan.Zero), "Readings that came late changed the picture.") { End = JobEnd.Withdrawn };

    /// <summary>Kept as build output, to be looked at.</summary>
    private static string Kept(Sheet sheet, string name)
    {
        string folder = Path.Combine(AppContext.BaseDirectory, "sheets");
        Directory.CreateDirectory(folder);
        string file = Path.Combine(folder, $"{name}-{Guid.NewGuid():N}.pdf");
        File.WriteAllBytes(file, sheet.ToPdf());
        File.WriteAllText(Path.ChangeExtension(file, "html"), sheet.ToHtml());
        return file;
    }

    private static string TextOf(string html) =>
        string.Join(' ', XDocument.Parse(html.Replace("<!DOCTYPE html>", "", StringComparison.Ordinal)).DescendantNodes().OfType<XText>().Select(text => text.Value));

    private static string Flat(string text) => Blanks().Replace(text, " ");

    [GeneratedRegex(@"\s+")]
    private static partial Regex Blanks();

    [GeneratedRegex(@"Pages:\s+(\d+)")]
    private static partial Regex PageCount();
}
