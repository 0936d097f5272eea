using System.Net;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Safety;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Verdicts;
using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>The sheets as the service serves them.</summary>
public sealed class SheetTests(DeskFixture fixture, Browser browser) : IClassFixture<Browser>
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    private Job Open => fixture.Plant.Store.OpenJobs("HY1-A1")[0];

    private string Address(string name) => name switch
    {
        "job" => "/sheets/job?key=" + Uri.EscapeDataString(Open.Key),
        "vessel" => "/sheets/vessel?id=PR1-A1",
        "unheard" => "/sheets/vessel?id=" + SamplePlant.Unheard,
        _ => "/sheets/fleet",
    };

    [Theory]
    [InlineData("job", 1280)]
    [InlineData("job", 390)]
    [InlineData("vessel", 1280)]
    [InlineData("vessel", 390)]
    [InlineData("unheard", 390)]
    [InlineData("fleet", 1280)]
    [InlineData("fleet", 390)]
    public async Task A_sheet_is_an_accessible_page_that_keeps_to_its_width(string name, int width)
    {
        IPage page = await browser.OpenAsync(fixture.Desk.Address + Address(name), width);
        await Pictures.KeepAsync(page, $"sheet-{name}-{width}-light");
        Assert.Empty(await Browser.ViolationsAsync(page));
        Assert.Equal(width, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        Assert.Empty(browser.Trouble(page));
        string text = await page.Locator("main").InnerTextAsync();
        Assert.All(SafetyLines.All, line => Assert.Contains(line, text, StringComparison.Ordinal));
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("job")]
    [InlineData("vessel")]
    [InlineData("fleet")]
    public async Task A_sheet_comes_as_a_pdf_in_vectors(string name)
    {
        string address = Address(name);
        int query = address.IndexOf('?', StringComparison.Ordinal);
        using HttpResponseMessage answer = await fixture.Desk.Client.GetAsync(
            query < 0 ? address + ".pdf" : address.Insert(query, ".pdf"), Ended);
        Assert.Equal("application/pdf", answer.Content.Headers.ContentType!.MediaType);
        string file = Path.Combine(AppContext.BaseDirectory, "pictures", $"sheet-{name}.pdf");
        Directory.CreateDirectory(Path.GetDirectoryName(file)!);
        await File.WriteAllBytesAsync(file, await answer.Content.ReadAsByteArrayAsync(Ended), Ended);
        Assert.Empty(PopplerTools.Images(file));
        Assert.Contains(name switch { "job" => Open.Key, "vessel" => "PR1-A1", _ => "SH1-A2" }, PopplerTools.Text(file), StringComparison.Ordinal);
    }

    [Fact]
    public async Task The_sheet_of_a_job_that_was_declined_does_not_ask_for_its_work()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = 0 });
        DateTimeOffset now = plant.Time.GetUtcNow();
        var silent = new Assessment { AsOf = now, Verdict = Verdict.NoWindowTooLong, Reason = "No window since spring." };
        Job job = JobWriter.Write(plant.Register.Current.Find("PR1-A1")!, JobCause.NoWindowTooLong, silent);
        string address = "/sheets/job?key=" + Uri.EscapeDataString(job.Key);
        Save(new JobNotice(job, JobState.Open, now, ""));
        Assert.Contains("Compare with the table", await plant.Desk.Client.GetStringAsync(address, Ended), StringComparison.Ordinal);
        Save(new JobNotice(job with { Revision = 2 }, JobState.Closed, now, "The press is being scrapped.") { End = JobEnd.Declined });
        string ended = await plant.Desk.Client.GetStringAsync(address, Ended);
        Assert.Contains("This job has ended (declined)", ended, StringComparison.Ordinal);
        Assert.Contains("The press is being scrapped.", ended, StringComparison.Ordinal);
        Assert.DoesNotContain("Compare with the table", ended, StringComparison.Ordinal);

        void Save(JobNotice notice) => plant.Store.Save(new VesselStep
        {
            VesselId = job.VesselId,
            InboxSequence = 0,
            Windows = [],
            Assessment = silent,
            Notices = [notice],
            Checkpoint = new VesselCheckpoint(now, new byte[] { 1 }),
        });
    }

    [Fact]
    public async Task Pages_lead_to_the_sheets()
    {
        IPage page = await browser.OpenAsync(fixture.Desk.Address + "/vessels/HY1-A1");
        await page.GetByRole(AriaRole.Link, new() { Name = "Job sheet to print" }).ClickAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Job sheet: HY1-A1");
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData("/api/v1/sheets/vessel?id=PR1-A1")]
    [InlineData("/api/v1/sheets/fleet")]
    public async Task Programs_get_them_as_PDF(string address)
    {
        using HttpResponseMessage answer = await fixture.Desk.Client.GetAsync(address, Ended);
        Assert.Equal("application/pdf", answer.Content.Headers.ContentType!.MediaType);
        Assert.Equal("%PDF"u8.ToArray(), (await answer.Content.ReadAsByteArrayAsync(Ended))[..4]);
    }

    [Theory]
    [InlineData("/api/v1/sheets/job?key=HY1-A1/none", HttpStatusCode.NotFound)]
    [InlineData("/api/v1/sheets/vessel?id=nobody", HttpStatusCode.NotFound)]
    [InlineData("/api/v1/sheets/fleet?month=2026-13", HttpStatusCode.BadRequest)]
    [InlineData("/sheets/job.pdf?key=HY1-A1/none", HttpStatusCode.NotFound)]
    [InlineData("/sheets/vessel?id=nobody", HttpStatusCode.NotFound)]
    [InlineData("/sheets/fleet?month=2026-13", HttpStatusCode.BadRequest)]
    [InlineData("/sheets/fleet.pdf?month=october", HttpStatusCode.BadRequest)]
    public async Task What_there_is_not_is_said_so(string address, HttpStatusCode expected)
    {
        using HttpResponseMessage answer = await fixture.Desk.Client.GetAsync(address, Ended);
        Assert.Equal(expected, answer.StatusCode);
    }
}
