using System.Globalization;
using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.History;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;
using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>The charge help, as a page and for programs.</summary>
public sealed class ChargingTests(DeskFixture fixture, Browser browser) : IClassFixture<Browser>
{
    private const string Asked = "/vessels/HY1-A1/charging?gas=8&now=40&litres=50&bottle=300&minutes=10";

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("/vessels/HY1-A1/charging", 1280, "form")]
    [InlineData(Asked, 1280, "plan")]
    [InlineData(Asked, 390, "plan")]
    [InlineData("/vessels/SH1-A2/charging?gas=20", 390, "separator")]
    [InlineData("/vessels/SH1-A2/charging?gas=20&separator=sound", 1280, "sound")]
    public async Task The_page_is_accessible_and_has_the_cautions(string address, int width, string name)
    {
        IPage page = await browser.OpenAsync(fixture.Desk.Address + address, width);
        await Pictures.KeepAsync(page, $"charging-{name}-{width}-light");
        Assert.Empty(await Browser.ViolationsAsync(page));
        Assert.Equal(width, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        Assert.Empty(browser.Trouble(page));
        string text = await page.Locator(".cautions").InnerTextAsync();
        Assert.All(SafetyLines.All, line => Assert.Contains(line, text, StringComparison.Ordinal));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_form_works_without_scripts_and_tells_what_to_do()
    {
        IPage page = await browser.OpenAsync(fixture.Desk.Address + "/vessels/HY1-A1", scripts: false);
        await page.GetByRole(AriaRole.Link, new() { Name = "Charging", Exact = true }).ClickAsync();
        await page.GetByLabel("Gas temperature now, °C").FillAsync("8");
        await page.GetByLabel("Gauge shows now, bar").FillAsync("40");
        await page.GetByRole(AriaRole.Button, new() { Name = "Work it out" }).ClickAsync();
        await Assertions.Expect(page.Locator(".plan li")).ToHaveCountAsync(3);
        await Assertions.Expect(page.Locator(".plan li").Last).ToHaveTextAsync(new Regex(@"Bleed slowly to \d+\.\d bar gauge"));
        await Assertions.Expect(page.GetByLabel("Gauge shows now, bar")).ToHaveValueAsync("40");
        await page.Context.CloseAsync();
    }

    /// <summary>40 bar = 580.151 psi (1 psi = 6894.757 Pa, NIST SP 811, appendix B); the precharge lies a little above, as the gas is cold.</summary>
    [Fact]
    public async Task A_gauge_that_was_read_in_one_unit_says_the_same_in_another()
    {
        IPage page = await browser.OpenAsync(fixture.Desk.Address + Asked, scripts: false);
        await page.GetByLabel("Pressures in").SelectOptionAsync("psi");
        await page.GetByRole(AriaRole.Button, new() { Name = "Use", Exact = true }).ClickAsync();
        await ShowsAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Work it out" }).ClickAsync();
        await Assertions.Expect(page).ToHaveURLAsync(new Regex("in=psi.*now=580.151"));
        await ShowsAsync();

        // A colleague who reads in bar opens the same address.
        string address = page.Url;
        await page.Context.CloseAsync();
        string theirs = await fixture.Desk.Client.GetStringAsync(address, Ended);
        Assert.Contains("Gauge shows now, bar", theirs, StringComparison.Ordinal);
        Assert.Contains("name=\"now\" type=\"number\" inputmode=\"decimal\" step=\"any\" min=\"0\" value=\"40\"", theirs, StringComparison.Ordinal);

        async Task ShowsAsync()
        {
            await Assertions.Expect(page.GetByLabel("Gauge shows now, psi")).ToHaveValueAsync("580.151");
            await Assertions.Expect(page.Locator(".answer")).ToContainTextAsync(new Regex(@"Precharge now 6\d\d psi gauge"));
        }
    }

    [Fact]
    public async Task A_unit_that_is_none_is_said_so()
    {
        string page = await fixture.Desk.Client.GetStringAsync("/vessels/HY1-A1/charging?gas=8&now=40&in=atm", Ended);
        Assert.Contains("is no unit of pressure here: give one of bar, kPa", page, StringComparison.Ordinal);
        Assert.DoesNotContain("class=\"plan\"", page, StringComparison.Ordinal);
    }

    /// <summary>SH1-A2 has burst: nothing is filled before somebody has looked at its separator.</summary>
    [Fact]
    public async Task A_vessel_that_is_nearly_empty_gets_a_plan_when_its_separator_is_found_sound()
    {
        IPage page = await browser.OpenAsync(fixture.Desk.Address + "/vessels/SH1-A2/charging?gas=20", 390, scripts: false);
        ILocator answer = page.Locator(".answer");
        await Assertions.Expect(answer).ToContainTextAsync("Nearly all gas is gone. Do not charge yet: look for fluid at the gas valve");
        await Assertions.Expect(page.Locator(".plan")).ToHaveCountAsync(0);
        await Assertions.Expect(answer).Not.ToContainTextAsync("Fill");
        await page.GetByLabel("The separator was looked at and is sound").CheckAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Work it out" }).ClickAsync();
        await Assertions.Expect(page.Locator(".plan li")).ToHaveCountAsync(3);
        await Assertions.Expect(page.Locator(".plan li").First).ToContainTextAsync(new Regex(@"never above \d+\.\d bar gauge"));
        await Assertions.Expect(answer).ToContainTextAsync("Do not charge yet");
        await Assertions.Expect(page.GetByLabel("The separator was looked at and is sound")).ToBeCheckedAsync();
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_program_is_told_to_have_the_separator_looked_at_too()
    {
        using JsonDocument asked = JsonDocument.Parse(await fixture.Desk.Client.GetStringAsync("/api/v1/vessels/SH1-A2/charging?gas=20", Ended));
        Assert.Equal("checkSeparator", asked.RootElement.GetProperty("step").GetString());
        Assert.Contains("Do not charge yet", asked.RootElement.GetProperty("separatorCheck").GetString(), StringComparison.Ordinal);
        Assert.All(["fillToGaugePa", "fillAtMostGaugePa", "settleAtGaugePa"], name => Assert.Equal(JsonValueKind.Null, asked.RootElement.GetProperty(name).ValueKind));

        // A gauge that shows half of it again does not tell where the gas had gone.
        using JsonDocument half = JsonDocument.Parse(await fixture.Desk.Client.GetStringAsync("/api/v1/vessels/SH1-A2/charging?gas=20&now=5000000", Ended));
        Assert.Equal("checkSeparator", half.RootElement.GetProperty("step").GetString());

        using JsonDocument sound = JsonDocument.Parse(await fixture.Desk.Client.GetStringAsync("/api/v1/vessels/SH1-A2/charging?gas=20&separator=sound", Ended));
        Assert.Equal("fill", sound.RootElement.GetProperty("step").GetString());
        Assert.True(sound.RootElement.GetProperty("fillAtMostGaugePa").GetDouble() >= sound.RootElement.GetProperty("fillToGaugePa").GetDouble());
    }

    [Fact]
    public async Task A_program_gets_the_target_of_the_full_equation()
    {
        Vessel vessel = fixture.Plant.Register.Find("HY1-A1")!;
        using JsonDocument data = JsonDocument.Parse(await fixture.Desk.Client.GetStringAsync("/api/v1/vessels/HY1-A1/charging?gas=8&now=4000000", Ended));
        double ambientPa = vessel.Specification.Ambient.Pascals;
        double target = data.RootElement.GetProperty("targetGaugePa").GetDouble() + ambientPa;

        // The reverse by density: the same amount of gas at both temperatures.
        double density = NitrogenEquation.MolarDensityMolPerM3(281.15, target);
        Assert.Equal(
            vessel.Specification.NominalPrecharge.Pascals + ambientPa,
            NitrogenEquation.PressurePa(vessel.Specification.ReferenceTemperature.Kelvins, density), 100.0);
        Assert.Equal(SafetyLines.All.Count, data.RootElement.GetProperty("cautions").GetArrayLength());
        Assert.Equal(JsonValueKind.Null, data.RootElement.GetProperty("nowFromTrendOf").ValueKind);
    }

    [Theory]
    [InlineData("/api/v1/vessels/HY1-A1/charging", "gas", HttpStatusCode.BadRequest)]
    [InlineData("/api/v1/vessels/HY1-A1/charging?gas=1e9", "-40.15 to 100", HttpStatusCode.BadRequest)]
    [InlineData("/api/v1/vessels/HY1-A1/charging?gas=20&litres=NaN", "litres", HttpStatusCode.BadRequest)]
    [InlineData("/api/v1/vessels/HY1-A1/charging?gas=20&now=65000001", "0 to 65000000 Pa", HttpStatusCode.BadRequest)]
    [InlineData("/api/v1/vessels/SH1-A2/charging?gas=20&separator=yes", "'sound'", HttpStatusCode.BadRequest)]
    [InlineData("/api/v1/vessels/nobody/charging?gas=20", "nobody", HttpStatusCode.NotFound)]
    public async Task What_cannot_be_used_is_said_so(string address, string word, HttpStatusCode expected)
    {
        using HttpResponseMessage answer = await fixture.Desk.Client.GetAsync(address, Ended);
        Assert.Equal(expected, answer.StatusCode);
        Assert.Contains(word, await answer.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
    }

    /// <summary>At the reference temperature the gauge shows the precharge that was found.</summary>
    [Fact]
    public async Task A_gauge_that_was_not_read_shows_what_the_check_by_hand_found_where_the_level_is_that_of_a_check()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings { Port = 0 });
        DateTimeOffset now = plant.Time.GetUtcNow();
        VesselSpecification vessel = plant.Register.Current.Find("PR1-A1")!.Specification;
        plant.Store.Save(new VesselStep
        {
            VesselId = "PR1-A1",
            InboxSequence = 0,
            Windows = [],
            Assessment = new Assessment
            {
                AsOf = now,
                Verdict = Verdict.BelowLowerLimit,
                Reason = "Found by hand.",
                LastWindow = now.AddDays(-60),
                FoundByHand = now.AddDays(-2),
                PrechargePa = 50e5 + vessel.Ambient.Pascals,
            },
            Notices = [],
            Checkpoint = new VesselCheckpoint(now, new byte[] { 1 }),
        });
        string query = string.Create(CultureInfo.InvariantCulture, $"/vessels/PR1-A1/charging?gas={vessel.ReferenceTemperature.DegreesCelsius}");
        string page = await plant.Desk.Client.GetStringAsync(query, Ended);
        Assert.Matches("The gauge was not read: by the check by hand of .* it should show 50.0 bar gauge", page);
        using JsonDocument data = JsonDocument.Parse(await plant.Desk.Client.GetStringAsync("/api/v1" + query, Ended));
        Assert.Equal(50e5, data.RootElement.GetProperty("nowGaugePa").GetDouble(), 1.0);
        Assert.Equal(now.AddDays(-2), data.RootElement.GetProperty("nowFromCheckOf").GetDateTimeOffset());
        Assert.Equal(JsonValueKind.Null, data.RootElement.GetProperty("nowFromTrendOf").ValueKind);
    }

    /// <summary>650 bar at 20 degrees C, the most that the register takes, is more than 700 bar at 100.</summary>
    [Theory]
    [InlineData("/vessels/HP1/charging?gas=100&now=600", HttpStatusCode.OK, "700 bar absolute")]
    [InlineData("/api/v1/vessels/HP1/charging?gas=100&now=60000000", HttpStatusCode.BadRequest, "70000000 Pa absolute")]
    public async Task A_precharge_that_leaves_the_nitrogen_equation_is_said_so_in_the_unit_that_was_asked(string address, HttpStatusCode expected, string limit)
    {
        Vessel vessel = fixture.Plant.Register.Find("HY1-A1")!;
        vessel = vessel with { Id = "HP1", Specification = vessel.Specification with { NominalPrecharge = GaugePressure.FromBar(650) } };
        await using ServedDesk desk = await ServedDesk.StartAsync(new VesselRegister("Works", [vessel]), fixture.Plant.Store, fixture.Plant.Clock);
        using HttpResponseMessage answer = await desk.Client.GetAsync(address, Ended);
        Assert.Equal(expected, answer.StatusCode);
        string told = await answer.Content.ReadAsStringAsync(Ended);
        Assert.Contains(limit, told, StringComparison.Ordinal);
        Assert.DoesNotContain("Parameter", told, StringComparison.Ordinal);
        Assert.DoesNotContain("class=\"plan\"", told, StringComparison.Ordinal);
    }
}
