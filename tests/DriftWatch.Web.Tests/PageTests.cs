using System.Net;
using System.Text.RegularExpressions;
using DriftWatch.Plant.Safety;
using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>The pages in a real browser.</summary>
public sealed class PageTests(DeskFixture fixture, Browser browser) : IClassFixture<Browser>
{
    public static TheoryData<string, int, ColorScheme> Views
    {
        get
        {
            TheoryData<string, int, ColorScheme> views = [];
            foreach (string page in (string[])["fleet", "places", "vessel", "leak", "burst", "silent", "empty", "window", "service", "missing"])
            {
                foreach (int width in (int[])[1280, 390])
                {
                    views.Add(page, width, ColorScheme.Light);
                    views.Add(page, width, ColorScheme.Dark);
                }
            }

            return views;
        }
    }

    private string Address(string page) => fixture.Desk.Address + page switch
    {
        "fleet" => "/",
        "places" => "/?group=place&sort=vessel",
        "vessel" => "/vessels/PR1-A1",
        "leak" => "/vessels/HY1-A1",
        "burst" => "/vessels/SH1-A2",
        "silent" => "/vessels/PR3-A1",
        "empty" => "/vessels/" + SamplePlant.Unheard,
        "window" => "/vessels/PR1-A1/windows/" + fixture.WindowOfPress,
        "service" => "/service",
        _ => "/nowhere",
    };

    [Theory]
    [MemberData(nameof(Views))]
    public async Task A_page_is_accessible_keeps_to_its_width_and_asks_nobody_else(string name, int width, ColorScheme theme)
    {
        IPage page = await browser.OpenAsync(Address(name), width, theme);
        if (name is "vessel" or "leak" or "burst")
        {
            await page.Locator("figure[data-live]").WaitForAsync();
        }

        await Pictures.KeepAsync(page, $"{name}-{width}-{theme.ToString().ToLowerInvariant()}");
        await Browser.JudgeAsync(page, width);
        Assert.Empty(name == "missing" ? [] : browser.Trouble(page));
        await page.Context.CloseAsync();
    }

    /// <summary>Reason, alarms, work and windows of a vessel, for a reader of another unit and of another decimal sign.</summary>
    [Theory]
    [InlineData("/vessels/SH1-A1")]
    [InlineData("/vessels/HY1-A1")]
    [InlineData("/vessels/HY2-A1")]
    [InlineData("/vessels/SH1-A1/charging?gas=20&litres=50")]
    [InlineData("/alarms")]
    public async Task A_page_has_one_unit_of_pressure_and_one_decimal_sign(string address)
    {
        // Swedish has a decimal comma and the dates of ISO 8601.
        using var asked = new HttpRequestMessage(HttpMethod.Get, $"{address}{(address.Contains('?', StringComparison.Ordinal) ? '&' : '?')}unit=psi");
        asked.Headers.AcceptLanguage.ParseAdd("sv-SE");
        using HttpResponseMessage answer = await fixture.Desk.Client.SendAsync(asked, TestContext.Current.CancellationToken);
        string page = await answer.Content.ReadAsStringAsync(TestContext.Current.CancellationToken);
        string text = WebUtility.HtmlDecode(Regex.Replace(page[page.IndexOf("<main", StringComparison.Ordinal)..], "<[^>]*>", " "));
        Assert.Matches(@"\d psi", text);
        Assert.DoesNotMatch(@"\d\s+bar\b(?!/K)", text);
        Assert.DoesNotMatch(@"(?<![\w.])\d+\.\d", text);
    }

    [Fact]
    public async Task The_fleet_is_searched_filtered_and_sorted_without_scripts()
    {
        IPage page = await browser.OpenAsync(Address("fleet"), scripts: false);
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync(new Regex(@"^\d+ of 16 vessels need a hand$"));
        await page.GetByLabel("Find vessel, description or place").FillAsync("pr1");
        await page.GetByRole(AriaRole.Button, new() { Name = "Show" }).ClickAsync();
        await Assertions.Expect(page.Locator(".fleet tbody th.vessel a")).ToHaveTextAsync(["PR1-A2", "PR1-A1"], new() { IgnoreCase = false });
        await page.GetByLabel("In order of").SelectOptionAsync("vessel");
        await page.GetByRole(AriaRole.Button, new() { Name = "Show" }).ClickAsync();
        await Assertions.Expect(page.Locator(".fleet tbody th.vessel a")).ToHaveTextAsync(["PR1-A1", "PR1-A2"]);
        await page.Locator(".fleet tbody th.vessel a").First.ClickAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("PR1-A1");
        await Assertions.Expect(page.Locator("figure.trend img")).ToBeVisibleAsync();
        await page.WaitForLoadStateAsync(LoadState.Load);
        Assert.True(await page.EvaluateAsync<int>("document.querySelector('figure.trend img').naturalWidth") > 0);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_live_chart_steps_by_keys_and_opens_the_window()
    {
        IPage page = await browser.OpenAsync(Address("vessel"));
        await page.Locator("figure[data-live] canvas").WaitForAsync();
        await page.Locator(".live").FocusAsync();
        await page.Keyboard.PressAsync("ArrowLeft");
        await Assertions.Expect(page.Locator(".readout")).ToHaveTextAsync(new Regex(@"UTC: \d+\.\d\d ± \d+\.\d\d bar gauge, (taken|left out|not decided yet)"));
        await page.Keyboard.PressAsync("Enter");
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync(new Regex("^Window of "));
        await Assertions.Expect(page.Locator(".panel svg")).ToHaveCountAsync(3);
        Assert.Empty(browser.Trouble(page));
        await page.Context.CloseAsync();
    }

    /// <summary>3/10 is two days of the year: months stand on the axis by name, from the coarsest step to the finest.</summary>
    [Theory]
    [InlineData("", "^Oct$")]
    [InlineData("?from=2026-09-01&to=2026-09-28", @"^\d{1,2} Sept?$")]
    [InlineData("?from=2026-09-28&to=2026-09-30", "^29 Sept?$")]
    public async Task The_live_chart_names_its_days_as_its_reader_does(string span, string name)
    {
        IPage page = await browser.OpenAsync("about:blank");
        await page.AddInitScriptAsync("const draw = CanvasRenderingContext2D.prototype.fillText; window.lettered = []; CanvasRenderingContext2D.prototype.fillText = function (text, ...rest) { lettered.push(text); return draw.call(this, text, ...rest); };");
        await page.GotoAsync(Address("leak") + span);
        await page.Locator("figure[data-live] canvas").WaitForAsync();
        string[] lettered = await page.EvaluateAsync<string[]>("lettered");
        Assert.DoesNotContain(lettered, text => Regex.IsMatch(text, @"^\d{1,2}/\d{1,2}|[ap]m$"));
        Assert.Contains(lettered, text => Regex.IsMatch(text, name));
        await page.Context.CloseAsync();
    }

    /// <summary>A page of 1280 px magnified four times is one of 320 (WCAG 2.2, 1.4.10): nothing but a table scrolls sideways, and that within itself.</summary>
    [Theory]
    [InlineData("fleet")]
    [InlineData("leak")]
    [InlineData("window")]
    public async Task Magnified_four_times_a_page_still_keeps_to_its_width(string name)
    {
        IPage page = await browser.OpenAsync(Address(name), 320);
        Assert.Equal(320, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        Assert.Empty(await Browser.ViolationsAsync(page));
        await page.Context.CloseAsync();
    }

    /// <summary>Paper is white whatever the screen is.</summary>
    [Fact]
    public async Task On_paper_ink_is_dark_under_a_dark_theme_too()
    {
        IPage page = await browser.OpenAsync(Address("leak"), theme: ColorScheme.Dark);
        await page.EmulateMediaAsync(new() { Media = Media.Print, ColorScheme = ColorScheme.Dark });
        Assert.Equal("rgb(31, 40, 44)", await page.EvaluateAsync<string>("getComputedStyle(document.body).color"));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Every_verdict_has_its_date_and_every_page_that_asks_for_work_has_the_cautions()
    {
        IPage page = await browser.OpenAsync(Address("fleet"));
        foreach (ILocator cell in await page.Locator(".fleet td.verdict").AllAsync())
        {
            Assert.Matches(@"on \d\d/\d\d/\d{4}|no reading yet", await cell.InnerTextAsync());
        }

        foreach (string address in (string[])["fleet", "burst", "silent"])
        {
            await page.GotoAsync(Address(address));
            string text = await page.Locator(".cautions").InnerTextAsync();
            Assert.All(SafetyLines.All, line => Assert.Contains(line, text, StringComparison.Ordinal));
        }

        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_reader_chooses_the_unit_and_reads_numbers_and_dates_as_at_home()
    {
        IPage page = await browser.OpenAsync(Address("vessel"), language: "de-DE");
        ILocator figures = page.Locator(".figures");
        await Assertions.Expect(figures).ToContainTextAsync(new Regex(@"\d+,\d ± \d+,\d bar gauge"));
        await Assertions.Expect(figures).ToContainTextAsync(new Regex(@"\d\d\.\d\d\.\d{4} \d\d:\d\d UTC"));
        await page.GetByLabel("Pressures in").SelectOptionAsync("psi");
        await page.GetByRole(AriaRole.Button, new() { Name = "Use" }).ClickAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("PR1-A1");
        await Assertions.Expect(figures).ToContainTextAsync(new Regex(@"\d{4} ± \d+ psi gauge"));
        await Assertions.Expect(page.Locator("figure.trend")).ToHaveAttributeAsync("data-unit", "psi");
        await page.Context.CloseAsync();
    }
}
