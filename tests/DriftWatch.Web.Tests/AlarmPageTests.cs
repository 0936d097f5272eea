using DriftWatch.Host.Settings;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.People;
using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>Alarms in a real browser, by roles.</summary>
public sealed class AlarmPageTests(DeskFixture fixture, Browser browser) : IClassFixture<Browser>
{
    [Theory]
    [InlineData(1280, ColorScheme.Light, "SH1-A2")]
    [InlineData(390, ColorScheme.Dark, "PR3-A1")]
    public async Task A_technician_acknowledges_and_shelves_an_alarm_and_takes_it_back(int width, ColorScheme theme, string vessel)
    {
        Alarm alarm = fixture.Plant.Store.Alarms(fixture.Plant.Clock.Now).Alarms.First(one => one.VesselId == vessel && one.Status.State == AlarmState.Unacknowledged);
        await using ServedDesk desk = await ServedDesk.StartAsync(
            fixture.Plant.Register, fixture.Plant.Store, fixture.Plant.Clock, new WebSettings { Port = 0, SignIn = "local" });
        string name = $"Tess of {vessel}";
        _ = desk.Add(name, Role.Technician);
        IPage page = await browser.OpenAsync($"{desk.Address}/vessels/{vessel}", width, theme);
        await Browser.SignInAsync(page, name, ServedDesk.Password);
        await page.Locator("figure[data-live]").WaitForAsync();
        ILocator card = page.Locator(".alarms > li").First;
        await Assertions.Expect(card).ToContainTextAsync("unacknowledged");
        await CheckAsync(page, $"vessel-alarms-{width}", width);
        await card.GetByRole(AriaRole.Button, new() { Name = "Acknowledge" }).ClickAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync(vessel);
        Assert.Equal(AlarmState.Acknowledged, StateOf(alarm));

        await page.GetByRole(AriaRole.Link, new() { Name = "Alarms", Exact = true }).ClickAsync();
        card = page.Locator(".alarms > li", new() { HasText = vessel }).First;
        await card.Locator("summary", new() { HasText = "Set it aside" }).ClickAsync();
        await card.Locator("summary", new() { HasText = "Shelve" }).ClickAsync();
        await card.GetByLabel("For how long").SelectOptionAsync("72");
        await card.Locator("form", new() { HasText = "For how long" }).GetByLabel("Why").FillAsync("the press is rebuilt");
        await CheckAsync(page, $"alarms-{width}", width);
        await card.Locator("form", new() { HasText = "For how long" }).GetByRole(AriaRole.Button).ClickAsync();
        ILocator aside = page.Locator("section", new() { HasText = "Set aside" }).Locator("li", new() { HasText = vessel }).First;
        await Assertions.Expect(aside).ToContainTextAsync($"by {name}: the press is rebuilt");
        Assert.Equal(AlarmState.Shelved, StateOf(alarm));
        Assert.Equal(fixture.Plant.Clock.Now.AddDays(3), fixture.Plant.Store.Alarms(fixture.Plant.Clock.Now).Of(vessel, alarm.Kind).ShelvedUntil);

        await aside.GetByRole(AriaRole.Button, new() { Name = "Take back" }).ClickAsync();
        await Assertions.Expect(page.Locator(".alarms > li", new() { HasText = vessel }).First).ToContainTextAsync("unacknowledged");
        Assert.Equal(
            ["alarm taken back from the shelf", "alarm shelved", "alarm acknowledged"],
            fixture.Plant.Store.AuditBefore(long.MaxValue, 1000, vessel).Where(line => line.Entry.PersonName == name).Select(line => line.Entry.What));
        Assert.Empty(browser.Trouble(page));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_viewer_sees_alarms_and_no_buttons_and_is_refused_a_form_made_by_hand()
    {
        await using ServedDesk desk = await ServedDesk.StartAsync(
            fixture.Plant.Register, fixture.Plant.Store, fixture.Plant.Clock, new WebSettings { Port = 0, SignIn = "local" });
        using Visitor viewer = await desk.VisitAsync(Role.Viewer);
        string page = await viewer.ReadAsync("/alarms");
        Assert.Contains("class=\"alarms\"", page, StringComparison.Ordinal);
        Assert.DoesNotContain("action=\"/alarms\"", page, StringComparison.Ordinal);
        Alarm alarm = fixture.Plant.Store.Alarms(fixture.Plant.Clock.Now).Alarms.First(one => one.Status.IsAnnounced);
        using HttpResponseMessage refused = await viewer.SendWithAsync(
            Visitor.TokenOf(page), "/alarms", ("vessel", alarm.VesselId), ("kind", alarm.Kind.ToString()), ("what", "Acknowledge"), ("seen", "x"));
        Assert.Equal(System.Net.HttpStatusCode.Forbidden, refused.StatusCode);
    }

    [Fact]
    public async Task What_has_changed_since_it_was_seen_is_not_acted_on()
    {
        await using ServedDesk desk = await ServedDesk.StartAsync(
            fixture.Plant.Register, fixture.Plant.Store, fixture.Plant.Clock, new WebSettings { Port = 0, SignIn = "local" });
        using Visitor technician = await desk.VisitAsync(Role.Technician);
        Alarm alarm = fixture.Plant.Store.Alarms(fixture.Plant.Clock.Now).Alarms.First(one => one.Status.IsAnnounced);
        using HttpResponseMessage refused = await technician.SendAsync(
            "/alarms", "/alarms", ("vessel", alarm.VesselId), ("kind", alarm.Kind.ToString()), ("what", "Acknowledge"), ("seen", "\"as it was\""), ("back", "/alarms"));
        Assert.Equal(System.Net.HttpStatusCode.Conflict, refused.StatusCode);
        Assert.Contains("has changed since you looked", await refused.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1280)]
    [InlineData(390)]
    public async Task Without_a_sign_in_alarms_are_for_reading(int width)
    {
        IPage page = await browser.OpenAsync(fixture.Desk.Address + "/alarms", width);
        await Assertions.Expect(page.Locator(".alarms > li").First).ToBeVisibleAsync();
        await Assertions.Expect(page.Locator("form[action='/alarms']")).ToHaveCountAsync(0);
        await CheckAsync(page, $"alarms-reading-{width}", width);
        await page.Context.CloseAsync();
    }

    private AlarmState StateOf(Alarm alarm) => fixture.Plant.Store.Alarms(fixture.Plant.Clock.Now).Of(alarm.VesselId, alarm.Kind).Status.State;

    private static async Task CheckAsync(IPage page, string name, int width)
    {
        await Pictures.KeepAsync(page, name);
        await Browser.JudgeAsync(page, width);
    }
}
