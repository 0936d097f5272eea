using DriftWatch.Delivery.Documents;
using DriftWatch.Delivery.Files;
using DriftWatch.Delivery.Tests.Support;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Tests.Files;

public sealed class CsvChannelTests : IDisposable
{
    private readonly TempFolder _folder = new();

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    public void Dispose() => _folder.Dispose();

    [Fact]
    public async Task A_notice_is_a_row_once_however_often_it_comes()
    {
        using CsvChannel channel = new("csv", _folder.Path);
        for (int time = 0; time < 2; time++)
        {
            await channel.DeliverAsync(Given.Opened(), Ended);
            await channel.DeliverAsync(Given.Closed(), Ended);
        }

        string[] rows = await File.ReadAllLinesAsync(channel.PathOf(Given.Opened()), Ended);
        Assert.EndsWith("jobs-2025.csv", channel.PathOf(Given.Opened()), StringComparison.Ordinal);
        Assert.Equal(3, rows.Length);
        Assert.StartsWith("notice,event,time,job,", rows[0], StringComparison.Ordinal);
        Assert.StartsWith("\"P3-ACC-2/below/2025-03-01/open/1\",\"driftwatch.job.opened\",\"2025-03-01T06:00:00Z\",", rows[1], StringComparison.Ordinal);
        Assert.Contains("\"gas -10 °C: 80.1 bar gauge | gas 20 °C: 90 bar gauge\"", rows[1], StringComparison.Ordinal);
        Assert.All(SafetyLines.All, line => Assert.Contains(line, rows[1], StringComparison.Ordinal));
        Assert.Contains("\"Charged to 90 bar.\"", rows[2], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_row_that_a_crash_cut_off_is_written_anew()
    {
        using CsvChannel channel = new("csv", _folder.Path);
        await channel.DeliverAsync(Given.Opened(), Ended);
        string whole = await File.ReadAllTextAsync(channel.PathOf(Given.Opened()), Ended);
        foreach (int length in (int[])[0, 5, whole.IndexOf('\n') + 1, whole.IndexOf('\n') + 20, whole.Length - 1])
        {
            await File.WriteAllTextAsync(channel.PathOf(Given.Opened()), whole[..length], Ended);
            await channel.DeliverAsync(Given.Opened(), Ended);
            Assert.Equal(whole, await File.ReadAllTextAsync(channel.PathOf(Given.Opened()), Ended));
        }
    }

    [Fact]
    public async Task A_row_is_one_line_and_no_text_is_a_formula()
    {
        using CsvChannel channel = new("csv", _folder.Path);
        await channel.DeliverAsync(Given.Opened(Given.Job() with { Reason = "=HYPERLINK(\"x\")\nnext", VesselPlace = "-1 level, \"north\"" }), Ended);
        string[] rows = await File.ReadAllLinesAsync(channel.PathOf(Given.Opened()), Ended);
        Assert.Equal(2, rows.Length);
        Assert.Contains("\"'=HYPERLINK(\"\"x\"\") | next\"", rows[1], StringComparison.Ordinal);
        Assert.Contains("\"'-1 level, \"\"north\"\"\"", rows[1], StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_test_does_not_stand_among_the_jobs()
    {
        using CsvChannel channel = new("csv", _folder.Path);
        await channel.DeliverAsync(TestNotice.At(Given.Instant), Ended);
        Assert.Equal("channel-test.csv", Path.GetFileName(Assert.Single(Directory.GetFiles(_folder.Path))));
    }
}
