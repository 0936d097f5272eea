using System.Net;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Safety;
using DriftWatch.TestPeers;
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
