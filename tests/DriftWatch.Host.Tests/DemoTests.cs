using DriftWatch.Gas.Units;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.Storage;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Tests;

/// <summary>The main job, end to end, held against what was planted in the sample streams.</summary>
public sealed class DemoTests : IClassFixture<DemoTests.Demo>
{
    private readonly Demo _demo;

    public DemoTests(Demo demo) => _demo = demo;

    public static TheoryData<string> Vessels => [.. PlantedTruth.All.Select(truth => truth.Id)];

    [Fact]
    public void It_ends_well_and_says_where_charts_and_jobs_lie()
    {
        Assert.True(_demo.ExitCode == 0, _demo.Output + _demo.Errors);
        Assert.Empty(_demo.Errors);
        Assert.Contains(_demo.Folder.File("charts"), _demo.Output, StringComparison.Ordinal);
        Assert.Contains(_demo.Folder.File("jobs"), _demo.Output, StringComparison.Ordinal);
        Assert.True(PlantedTruth.All.Count >= 12);
    }

    [Theory]
    [MemberData(nameof(Vessels))]
    public void The_verdict_fits_what_was_planted(string id)
    {
        PlantedTruth truth = PlantedTruth.All.Single(vessel => vessel.Id == id);
        Assessment assessment = _demo.Store.LastAssessment(id)!;
        Assert.True(assessment.Verdict == truth.ExpectedVerdict, $"{id} ({truth.Kind}): {assessment.Verdict}, planted {truth.ExpectedVerdict}. {assessment.Reason}");
        Assert.Contains(assessment.Reason, _demo.Output, StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Vessels))]
    public void Precharge_loss_and_crossing_agree_with_the_planted_ones_within_their_own_uncertainty(string id)
    {
        PlantedTruth truth = PlantedTruth.All.Single(vessel => vessel.Id == id);
        Vessel vessel = _demo.Register.Find(id)!;
        Assessment assessment = _demo.Store.LastAssessment(id)!;
        if (assessment.Verdict == Verdict.NoWindowTooLong)
        {
            return; // What is said of it is that nothing is known now; the verdict is tested above.
        }

        // Uncertainties at k = 3: sixteen vessels with three figures each are to pass all at once.
        double prechargeBar = (assessment.PrechargePa!.Value - vessel.Specification.Ambient.Pascals) / 1e5;
        Assert.Equal(truth.PrechargeAtEndBarGauge, prechargeBar, 3 * assessment.PrechargeUncertaintyPa!.Value / 1e5);
        if (assessment.Fit is not { PointCount: >= 3 } fit)
        {
            return;
        }

        double loss = LossRate.FromSlope(vessel.Specification, fit.SlopePaPerSecond, fit.LevelPa).BarPerMonth;
        double uncertainty = fit.SlopeUncertaintyPaPerSecond * LossRate.SecondsPerMonth / 1e5;

        // The truth is a mean over the segment; a first-order loss bends by some percent of itself, slow sensor errors add 0.01 bar/month.
        Assert.Equal(truth.LossBarPerMonth, loss, (3 * uncertainty) + 0.01 + (0.02 * Math.Abs(truth.LossBarPerMonth)));
        if (truth.Crossing is { } crossing && assessment.Forecast!.Crossing is not null)
        {
            TimeSpan margin = (assessment.Forecast.Latest!.Value - assessment.Forecast.Earliest!.Value) / 4;
            Assert.InRange(crossing, assessment.Forecast.Earliest.Value - margin, assessment.Forecast.Latest.Value + margin);
        }
    }

    [Theory]
    [MemberData(nameof(Vessels))]
    public void A_chart_is_drawn_as_PNG_and_SVG(string id)
    {
        byte[] png = File.ReadAllBytes(_demo.Folder.File("charts", id + ".png"));
        Assert.Equal([0x89, (byte)'P', (byte)'N', (byte)'G'], png[..4]);
        Assert.Contains(id, File.ReadAllText(_demo.Folder.File("charts", id + ".svg")), StringComparison.Ordinal);
    }

    [Theory]
    [MemberData(nameof(Vessels))]
    public void A_job_stands_for_a_vessel_that_needs_one_and_for_no_other(string id)
    {
        StoredJob[] open = [.. _demo.Store.Jobs().Where(job => job.Job.VesselId == id && job.State == JobState.Open)];
        bool needsOne = _demo.Store.LastAssessment(id)!.Verdict is not (Verdict.WithinLimits or Verdict.NotKnownYet);
        Assert.Equal(needsOne ? 1 : 0, open.Length);
        foreach (StoredJob job in open)
        {
            Assert.Equal(_demo.Store.LastAssessment(id)!.Verdict.ToString(), job.Job.Cause.ToString());
            string document = File.ReadAllText(Directory.GetFiles(_demo.Folder.File("jobs"), $"*{id}*open*")
                .Single(file => File.ReadAllText(file).Contains($"{job.Job.Key}/open/{job.Job.Revision}", StringComparison.Ordinal)));
            Assert.All(SafetyLines.All, line => Assert.Contains(line, document, StringComparison.Ordinal));
        }
    }

    [Fact]
    public void The_queue_holds_one_document_for_each_notice()
    {
        int notices = _demo.Store.Jobs().Sum(job => job.Job.Revision); // Each notice of a job counts it up by one.
        Assert.Equal(notices, Directory.GetFiles(_demo.Folder.File("jobs"), "*.json").Length);
    }

    [Fact]
    public void No_plateau_of_trapped_fluid_well_above_the_precharge_became_a_point()
    {
        PrechargeWindow[] windows = [.. _demo.Store.Windows("PR1-A2")];
        TrendFit fit = _demo.Store.LastAssessment("PR1-A2")!.Fit!;
        Assert.True(windows.Count(window => window.Standing == WindowStanding.Rejected) > 20);
        Assert.All(
            windows.Where(window => window.Standing == WindowStanding.Accepted),
            window => Assert.True(window.PrechargePa - fit.LevelAtPa(window.Middle) < 1e5, $"{window.Start:O}: {window.PrechargePa / 1e5:0.00} bar"));
    }

    [Fact]
    public async Task Logger_files_assessed_without_any_server_give_the_same_verdicts_and_jobs()
    {
        using TemporaryFolder output = new();
        (int exitCode, string text, string errors) = await ProgramRun.ToEndAsync(
            "assess", Repository.SampleStreams, "--output", output.Path, "--exit-by-verdict", "--unit", "psi");
        Assert.True(exitCode == 1, text + errors);
        Assert.Contains("psi gauge", text, StringComparison.Ordinal);
        Assert.All(_demo.Register.Vessels, vessel => Assert.Contains(
            $"{vessel.Id}: {VerdictWords.Reason(vessel.Specification, _demo.Store.LastAssessment(vessel.Id)!, PressureUnit.Psi)}", text, StringComparison.Ordinal));
        AssertSameFiles(_demo.Folder.File("jobs"), output.File("jobs"));
    }

    [Fact]
    public async Task Alarms_are_listed_and_acknowledged_with_name_and_reason_on_record()
    {
        string settings = _demo.Folder.File("driftwatch.json");
        await File.WriteAllTextAsync(
            settings,
            $$"""{ "register": "{{Path.Combine(Repository.SampleStreams, "register.json")}}", "dataFolder": "{{_demo.Folder.File("data")}}" }""",
            TestContext.Current.CancellationToken);
        (int exitCode, string list, string errors) = await ProgramRun.ToEndAsync("alarms", "list", "--settings", settings);
        Assert.True(exitCode == 0, list + errors);
        string[] needing = [.. _demo.Register.Vessels.Select(vessel => vessel.Id)
            .Where(id => _demo.Store.LastAssessment(id)!.Verdict is not (Verdict.WithinLimits or Verdict.NotKnownYet))];
        Assert.NotEmpty(needing);
        Assert.All(_demo.Register.Vessels, vessel => Assert.Equal(
            needing.Contains(vessel.Id),
            list.Split('\n').Any(line => line.Contains($"  {vessel.Id}  ", StringComparison.Ordinal) && line.Contains("  Unacknowledged  ", StringComparison.Ordinal))));

        (exitCode, _, errors) = await ProgramRun.ToEndAsync("alarms", "shelve", needing[0], "--settings", settings, "--by", "R. Example");
        Assert.Equal(2, exitCode);
        Assert.Contains("--why", errors, StringComparison.Ordinal);
        (exitCode, _, errors) = await ProgramRun.ToEndAsync("alarms", "shelve", needing[0], "--settings", settings, "--by", "R. Example", "--why", "stop", "--until", "2999-01-01T00:00:00Z");
        Assert.Equal(2, exitCode);
        Assert.Contains("within 30 days (alarms.greatestShelvingTime)", errors, StringComparison.Ordinal);
        (exitCode, _, errors) = await ProgramRun.ToEndAsync("alarms", "take-out", needing[0] + "1", "--settings", settings, "--by", "R. Example", "--why", "stop");
        Assert.Equal(2, exitCode);
        Assert.Contains($"'{needing[0]}1' is no vessel of the register", errors, StringComparison.Ordinal);
        (exitCode, string acknowledged, errors) = await ProgramRun.ToEndAsync("alarms", "acknowledge", needing[0], "--settings", settings, "--by", "R. Example", "--why", "on my way");
        Assert.True(exitCode == 0, errors);
        Assert.Contains("  Acknowledged  ", acknowledged, StringComparison.Ordinal);
        (exitCode, string journal, _) = await ProgramRun.ToEndAsync("alarms", "journal", "--vessel", needing[0], "--settings", settings);
        Assert.Equal(0, exitCode);
        Assert.Contains("by R. Example  on my way", journal, StringComparison.Ordinal);
        (exitCode, string figures, _) = await ProgramRun.ToEndAsync("alarms", "figures", "--settings", settings, "--days", "3650");
        Assert.Equal(0, exitCode);
        Assert.Contains("Chattering             0", figures, StringComparison.Ordinal);
    }

    internal static void AssertSameFiles(string expected, string actual)
    {
        string[] names = [.. Directory.GetFiles(expected).Select(file => Path.GetFileName(file)!).Order(StringComparer.Ordinal)];
        Assert.Equal(names, Directory.GetFiles(actual).Select(file => Path.GetFileName(file)!).Order(StringComparer.Ordinal));
        Assert.All(names, name => Assert.Equal(File.ReadAllText(Path.Combine(expected, name)), File.ReadAllText(Path.Combine(actual, name))));
    }

    [Theory]
    [InlineData("%PDF-", "fleet.pdf", "fleet")]
    [InlineData("<!DOCTYPE html>", "record.html", "vessel", "HY1-A1")]
    public async Task Sheets_are_written_from_the_store(string begins, string name, params string[] what)
    {
        string file = _demo.Folder.File(name);
        (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync(
            ["sheet", .. what, "--settings", _demo.Folder.File("driftwatch.json"), "--output", file]);
        Assert.Equal((0, ""), (exitCode, errors));
        Assert.Contains(file, output, StringComparison.Ordinal);
        Assert.StartsWith(begins, await File.ReadAllTextAsync(file, TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_sheet_of_a_job_that_is_not_on_record_is_refused()
    {
        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("sheet", "job", "HY1-A1/none", "--settings", _demo.Folder.File("driftwatch.json"));
        Assert.Equal(2, exitCode);
        Assert.Contains("HY1-A1/none", errors, StringComparison.Ordinal);
    }

    /// <summary>One run of the demo for all tests.</summary>
    public sealed class Demo : IAsyncLifetime
    {
        internal TemporaryFolder Folder { get; } = new();

        internal int ExitCode { get; private set; }

        internal string Output { get; private set; } = "";

        internal string Errors { get; private set; } = "";

        internal VesselRegister Register { get; } =
            RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;

        internal PlantStore Store { get; private set; } = null!;

        public async ValueTask InitializeAsync()
        {
            (ExitCode, Output, Errors) = await ProgramRun.ToEndAsync("demo", "--output", Folder.Path);
            Store = new PlantStore(new StoreOptions { Path = Folder.File("data", "driftwatch.db") });
        }

        public ValueTask DisposeAsync()
        {
            Store?.Dispose();
            Folder.Dispose();
            return ValueTask.CompletedTask;
        }
    }
}
