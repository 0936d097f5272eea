using System.Net;
using System.Text.Json;
using System.Text.RegularExpressions;
using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.History;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;
using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>The round of checks: what is due, the form, and work without network.</summary>
public sealed class RoundTests(Browser browser) : IClassFixture<Browser>
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData(1280, ColorScheme.Light)]
    [InlineData(390, ColorScheme.Dark)]
    public async Task A_technician_checks_a_vessel_and_learns_at_once_what_it_means(int width, ColorScheme theme)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds", width, theme);
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Round: 16 checks are due");
        string cautions = await page.Locator(".cautions").InnerTextAsync();
        Assert.All(SafetyLines.All, line => Assert.Contains(line, cautions, StringComparison.Ordinal));
        await FillAsync(page, "PR1-A1", "70", "35");
        await Pictures.KeepAsync(page, $"round-{width}-{theme.ToString().ToLowerInvariant()}");
        await Browser.JudgeAsync(page, width);
        string shown = await Form(page, "PR1-A1").Locator(".finding").InnerTextAsync();

        // What the browser worked out by its table, against the full equation.
        Vessel vessel = plant.Register.Current.Find("PR1-A1")!;
        double full = ChargingTarget.PrechargeAtReference(
            GaugePressure.FromBar(70), GasTemperature.FromDegreesCelsius(35), vessel.Specification.ReferenceTemperature, vessel.Specification.Ambient)
            .ToGauge(vessel.Specification.Ambient).Bar;
        double byTable = double.Parse(Regex.Match(shown, @"Precharge ([\d.]+) ±").Groups[1].Value, System.Globalization.CultureInfo.InvariantCulture);
        Assert.Equal(full, byTable, 0.05 + (3e-4 * full));
        await Form(page, "PR1-A1").GetByRole(AriaRole.Button, new() { Name = "Record the check" }).ClickAsync();
        await Assertions.Expect(page.Locator("#entries-list li")).ToContainTextAsync("is on record");
        WorkEntry entry = Assert.Single(plant.Store.WorkOf("PR1-A1"));
        Assert.Equal(70, entry.Record.GasPressureBarGauge!.Value, 1e-9);
        Assert.Equal("Bea", entry.Record.EnteredBy);
        Assert.True(entry.Record.IsolatedAndReleased);
        Assert.Equal("G-7", entry.Record.GaugeId);
        Assert.Empty(browser.Trouble(page));

        await page.GotoAsync($"{plant.Desk.Address}/vessels/PR1-A1/records/{entry.Record.Id}");
        await Assertions.Expect(page.Locator(".answer")).ToContainTextAsync(shown[..shown.IndexOf(" at ", StringComparison.Ordinal)]);
        await Browser.JudgeAsync(page, width);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Without_network_the_round_opens_takes_checks_and_sends_each_once_when_the_service_is_back()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds", 390, ColorScheme.Light);
        await Assertions.Expect(page.Locator("#kept")).ToHaveAttributeAsync("data-kept", "true");
        await page.Context.SetOfflineAsync(true);
        await page.ReloadAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Round: 16 checks are due");
        await EnterAsync(page, "PR1-A1", "70", "35");
        await Assertions.Expect(page.Locator("#entries-list li")).ToContainTextAsync("waits on this device");
        await Assertions.Expect(page.Locator("#entries-list li")).ToContainTextAsync(new Regex(@"Precharge \d+\.\d ± \d+\.\d bar gauge at 20\.0 °C \(k = 2\)\. "));

        // The page is closed and opened anew without network: nothing is lost.
        IPage again = await page.Context.NewPageAsync();
        await page.CloseAsync();
        await again.GotoAsync(plant.Desk.Address + "/rounds");
        await EnterAsync(again, "HY1-A1", "60", "20");
        await Assertions.Expect(again.Locator("#entries-state")).ToHaveTextAsync("2 checks wait to be sent.");
        await Pictures.KeepAsync(again, "round-offline-390-light");
        Assert.Empty(plant.Store.WorkOf("PR1-A1"));

        await again.Context.SetOfflineAsync(false);
        await Assertions.Expect(again.Locator("#entries-list li[data-state=sent]")).ToHaveCountAsync(2);
        await again.GetByRole(AriaRole.Button, new() { Name = "Send now" }).ClickAsync();
        await again.ReloadAsync();
        await Assertions.Expect(again.Locator("#entries-state")).ToHaveTextAsync("Nothing waits to be sent.");
        Assert.Single(plant.Store.WorkOf("PR1-A1"));
        Assert.Single(plant.Store.WorkOf("HY1-A1"));
        await again.Context.CloseAsync();
    }

    /// <summary>The device is half a day off UTC: the field says UTC all the same.</summary>
    [Fact]
    public async Task A_check_that_waits_on_the_device_keeps_the_time_that_was_given()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds?vessel=PR1-A1", 390, ColorScheme.Light, "Pacific/Auckland");
        await Assertions.Expect(page.Locator("#kept")).ToHaveAttributeAsync("data-kept", "true");
        await page.Context.SetOfflineAsync(true);
        string typed = Typed(plant.Time.GetUtcNow().AddHours(-30));
        await FillAsync(page, "PR1-A1", "70", "35");
        await Form(page, "PR1-A1").GetByLabel("When, UTC").FillAsync(typed);
        await Form(page, "PR1-A1").GetByRole(AriaRole.Button, new() { Name = "Record the check" }).ClickAsync();
        await Assertions.Expect(page.Locator("#entries-list li")).ToContainTextAsync($"PR1-A1, {typed.Replace('T', ' ')} UTC: ");
        await page.Context.SetOfflineAsync(false);
        await Assertions.Expect(page.Locator("#entries-list li")).ToHaveAttributeAsync("data-state", "sent");
        Assert.Equal(typed, Typed(Assert.Single(plant.Store.WorkOf("PR1-A1")).Record.At));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task With_the_service_stopped_checks_wait_and_go_out_after_its_start()
    {
        int port = FreePort.Find();
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new() { Port = port, SignIn = "local" });
        IPage page = await OpenAsync(plant, "/rounds", 390, ColorScheme.Light);
        await Assertions.Expect(page.Locator("#kept")).ToHaveAttributeAsync("data-kept", "true");
        await plant.Desk.DisposeAsync();
        await page.ReloadAsync();
        await EnterAsync(page, "PR1-A1", "70", "35");
        await Assertions.Expect(page.Locator("#entries-list li")).ToContainTextAsync("waits on this device");
        await using ServedDesk served = await plant.ServeAsync(new Host.Settings.WebSettings { Port = port, SignIn = "local" });
        await page.GetByRole(AriaRole.Button, new() { Name = "Send now" }).ClickAsync();
        await Assertions.Expect(page.Locator("#entries-list li")).ToHaveAttributeAsync("data-state", "sent");
        Assert.Single(plant.Store.WorkOf("PR1-A1"));
        await page.Context.CloseAsync();
    }

    /// <summary>On a slow network the next check is entered while the one before is on its way.</summary>
    [Fact]
    public async Task A_check_that_is_entered_while_another_goes_out_goes_out_after_it()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds", 390, ColorScheme.Light);
        await page.EvaluateAsync("() => { const go = window.fetch; const held = new Promise(good => window.letGo = good); window.fetch = async (...asked) => { await held; return go(...asked); }; }");
        await EnterAsync(page, "PR1-A1", "70", "35");
        await Assertions.Expect(page.Locator("#entries-state")).ToHaveTextAsync("1 check waits to be sent.");
        await EnterAsync(page, "HY1-A1", "60", "20");
        await Assertions.Expect(page.Locator("#entries-state")).ToHaveTextAsync("2 checks wait to be sent.");
        await page.EvaluateAsync("letGo()");
        await Assertions.Expect(page.Locator("#entries-list li[data-state=sent]")).ToHaveCountAsync(2);
        Assert.Single(plant.Store.WorkOf("PR1-A1"));
        Assert.Single(plant.Store.WorkOf("HY1-A1"));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_button_that_is_pressed_twice_records_one_check()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds?vessel=PR1-A1", 390, ColorScheme.Light);
        await FillAsync(page, "PR1-A1", "70", "35");
        await Form(page, "PR1-A1").EvaluateAsync("form => { form.requestSubmit(); form.requestSubmit(); }");
        await Assertions.Expect(page.Locator("#entries-list li")).ToHaveAttributeAsync("data-state", "sent");
        await Assertions.Expect(page.Locator("#entries-state")).ToHaveTextAsync("Nothing waits to be sent.");
        Assert.Single(plant.Store.WorkOf("PR1-A1"));
        await page.Context.CloseAsync();
    }

    /// <summary>On a slow network a page is there before its script.</summary>
    [Fact]
    public async Task What_was_typed_before_the_script_came_is_answered_too()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Bea", Role.Technician);
        IPage page = await browser.OpenAsync(plant.Desk.Address + "/rounds?vessel=PR1-A1");
        TaskCompletionSource script = new();
        await page.RouteAsync("**/rounds.js", async route =>
        {
            await script.Task;
            await route.ContinueAsync();
        });
        await Browser.SignInAsync(page, "Bea", ServedDesk.Password);
        await FillAsync(page, "PR1-A1", "70", "35");
        await Assertions.Expect(Form(page, "PR1-A1").Locator(".finding")).ToBeEmptyAsync();
        script.SetResult();
        await Assertions.Expect(Form(page, "PR1-A1").Locator(".finding")).ToContainTextAsync("Precharge ");
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(false)]
    [InlineData(true)]
    public async Task A_check_that_the_browser_cannot_keep_goes_straight_to_the_service_or_is_said_not_to(bool offline)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds?vessel=PR1-A1", 390, ColorScheme.Light);
        await page.EvaluateAsync("() => { IDBDatabase.prototype.transaction = () => { throw new DOMException('The disk is full.', 'QuotaExceededError'); }; }");
        await page.Context.SetOfflineAsync(offline);
        await EnterAsync(page, "PR1-A1", "70", "35");
        if (offline)
        {
            await Assertions.Expect(Form(page, "PR1-A1").Locator(".finding")).ToContainTextAsync("could not keep the check, and there is no network");
            await Assertions.Expect(Form(page, "PR1-A1").Locator("[name=pressure]")).ToHaveValueAsync("70");
            Assert.Empty(plant.Store.WorkOf("PR1-A1"));
        }
        else
        {
            await Assertions.Expect(page).ToHaveURLAsync(new Regex("/vessels/PR1-A1/records/"));
            Assert.Equal(70, Assert.Single(plant.Store.WorkOf("PR1-A1")).Record.GasPressureBarGauge);
        }

        await page.Context.CloseAsync();
    }

    /// <summary>The sign-in has ended meanwhile: a list that only says that a check waits would let them wait.</summary>
    [Fact]
    public async Task Checks_that_wait_for_a_sign_in_say_so()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds?vessel=PR1-A1", 390, ColorScheme.Light);
        await page.Context.ClearCookiesAsync();
        await EnterAsync(page, "PR1-A1", "70", "35");
        await Assertions.Expect(page.Locator("#entries-state")).ToHaveTextAsync("1 check waits to be sent. Sign in as a technician, then send again.");
        Assert.Empty(plant.Store.WorkOf("PR1-A1"));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task What_is_refused_stays_on_the_list_with_its_reason()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds?vessel=PR1-A1", 1280, ColorScheme.Light);
        await EnterAsync(page, "PR1-A1", "900", "35");
        await Assertions.Expect(page.Locator("#entries-list li")).ToHaveAttributeAsync("data-state", "refused");
        await Assertions.Expect(page.Locator("#entries-list li")).ToContainTextAsync("Gas pressure, bar gauge, is 900. Give 0 to 650 bar gauge.");
        await page.GetByRole(AriaRole.Button, new() { Name = "Discard" }).ClickAsync();
        await Assertions.Expect(page.Locator("#entries")).ToBeHiddenAsync();
        Assert.Empty(plant.Store.WorkOf("PR1-A1"));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task The_forms_work_without_scripts_and_a_charge_starts_the_checks_anew()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Bea", Role.Technician);
        using Visitor visitor = new(plant.Desk.Address);
        await visitor.SignInAsync("Bea", ServedDesk.Password);
        string id = Guid.NewGuid().ToString();
        (string, string)[] fields = [("id", id), ("pressure", "1015"), ("unit", "psi"), ("temperature", "24.5"), ("who", "Bea"), ("nitrogen", "1.2"), ("confirmed", "yes")];
        for (int time = 0; time < 2; time++)
        {
            using HttpResponseMessage answer = await visitor.SendAsync("/vessels/PR1-A1/charging", "/vessels/PR1-A1/charges", fields);
            Assert.Equal($"/vessels/PR1-A1/records/{id}", answer.Headers.Location?.ToString());
        }

        WorkRecord record = Assert.Single(plant.Store.WorkOf("PR1-A1")).Record;

        // 1 psi = 6894.757 Pa (NIST SP 811, appendix B).
        Assert.Equal(1015 * 0.06894757, record.GasPressureBarGauge!.Value, 1e-4);
        Assert.Equal(WorkKind.Charge, record.Kind);
        Assert.Contains("Charge of PR1-A1", await visitor.ReadAsync($"/vessels/PR1-A1/records/{id}"), StringComparison.Ordinal);
        string due = plant.Time.GetUtcNow().AddDays(7).ToString("yyyy-MM-dd", System.Globalization.CultureInfo.InvariantCulture);
        string round = await visitor.ReadAsync("/rounds?vessel=PR1-A1");
        Assert.Matches($"(?s)Due.{{0,80}}{due}.{{0,200}}a week after charging", round);
    }

    [Theory]
    [InlineData("/rounds", "/rounds/checks", "at-PR1-A1")]
    [InlineData("/vessels/PR1-A1/charging", "/vessels/PR1-A1/charges", "at-charge")]
    public async Task Work_that_is_entered_later_is_dated_when_it_was_done(string page, string action, string field)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Bea", Role.Technician);
        using Visitor visitor = new(plant.Desk.Address);
        await visitor.SignInAsync("Bea", ServedDesk.Password);
        Assert.Matches($"<label for=\"{field}\">When, UTC[^<]*</label><input id=\"{field}\" name=\"at\"", await visitor.ReadAsync(page));
        string typed = Typed(plant.Time.GetUtcNow().AddHours(-30));
        using HttpResponseMessage answer = await visitor.SendAsync(page, action, [.. Good().Where(pair => pair.Name != "at"), ("at", typed)]);
        Assert.Equal(HttpStatusCode.Found, answer.StatusCode);
        Assert.Equal(typed, Typed(Assert.Single(plant.Store.WorkOf("PR1-A1")).Record.At));
    }

    [Fact]
    public async Task The_printed_round_has_a_line_for_each_thing_that_a_check_is_entered_with()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Ada", Role.Viewer);
        using Visitor visitor = new(plant.Desk.Address);
        await visitor.SignInAsync("Ada", ServedDesk.Password);
        string written = Regex.Match(await visitor.ReadAsync("/rounds?vessel=PR1-A1"), "<p class=\"written\">(.*?)</p>", RegexOptions.Singleline).Groups[1].Value;
        Assert.All(
            ["isolated and released", "When ____________ UTC", "Gauge pressure ____", "Gas temperature ____", "Gauge no. ____", "Who ____"],
            line => Assert.Contains(line, written, StringComparison.Ordinal));
    }

    [Fact]
    public async Task A_wrong_record_is_made_void_on_its_page_and_stands()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Bea", Role.Technician);
        using Visitor visitor = new(plant.Desk.Address);
        await visitor.SignInAsync("Bea", ServedDesk.Password);
        (await visitor.SendAsync("/rounds", "/rounds/checks", Good())).Dispose();
        string record = $"/vessels/PR1-A1/records/{Good()[0].Value}";
        Assert.Contains(record, await visitor.ReadAsync("/vessels/PR1-A1"), StringComparison.Ordinal);
        string id = Guid.NewGuid().ToString();
        Assert.Equal(HttpStatusCode.BadRequest, await VoidAsync(id, " "));
        Assert.True(Assert.Single(plant.Store.WorkOf("PR1-A1")).Counts);
        Assert.Equal(HttpStatusCode.Found, await VoidAsync(id, "the other vessel was meant"));
        Assert.Equal(HttpStatusCode.Found, await VoidAsync(id, "the other vessel was meant"));
        Assert.Equal(HttpStatusCode.Conflict, await VoidAsync(Guid.NewGuid().ToString(), "once more"));
        Assert.False(Assert.Single(plant.Store.WorkOf("PR1-A1")).Counts);
        string page = await visitor.ReadAsync(record);
        Assert.Contains("This record is void: the other vessel was meant (Bea", page, StringComparison.Ordinal);
        Assert.DoesNotContain("Make it void", page, StringComparison.Ordinal);
        Assert.Contains("(void)", await visitor.ReadAsync("/vessels/PR1-A1"), StringComparison.Ordinal);
        Assert.Equal("record voided", Assert.Single(plant.Store.AuditBefore(long.MaxValue, 10, "PR1-A1"), line => line.Entry.What.StartsWith("record", StringComparison.Ordinal)).Entry.What);

        async Task<HttpStatusCode> VoidAsync(string own, string why)
        {
            using HttpResponseMessage answer = await visitor.SendAsync("/rounds", record + "/void", ("id", own), ("why", why));
            return answer.StatusCode;
        }
    }

    [Theory]
    [InlineData("confirmed", "", "That the fluid side was isolated and fully released is not confirmed.")]
    [InlineData("unit", "atm", "unit")]
    [InlineData("pressure", "a lot", "a lot")]
    [InlineData("pressure", "", "both needed")]
    [InlineData("temperature", "170", "is 170. Give -40 to 100")]
    [InlineData("id", "7", "id is missing")]
    [InlineData("vessel", "nobody", "nobody")]
    [InlineData("at", "yesterday", "yesterday")]
    [InlineData("at", "2031-01-01T00:00:00Z", "future")]
    [InlineData("at", "2026-03-04", "2026-10-01T06:00")]
    [InlineData("at", "03/04/2026 09:30", "2026-10-01T06:00")]
    public async Task A_check_that_cannot_be_used_is_refused_with_its_reason(string field, string value, string word)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Bea", Role.Technician);
        using Visitor visitor = new(plant.Desk.Address);
        await visitor.SignInAsync("Bea", ServedDesk.Password);
        using HttpResponseMessage answer = await visitor.SendAsync("/rounds", "/rounds/checks", [.. Good().Where(pair => pair.Name != field), (field, value)]);
        Assert.Equal(HttpStatusCode.BadRequest, answer.StatusCode);
        Assert.Contains(word, await answer.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        Assert.Empty(plant.Store.Work());
    }

    [Fact]
    public async Task A_device_whose_clock_is_wrong_is_set_right_and_one_id_is_one_record()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Bea", Role.Technician);
        using Visitor visitor = new(plant.Desk.Address);
        await visitor.SignInAsync("Bea", ServedDesk.Password);
        DateTimeOffset now = plant.Time.GetUtcNow();
        (string Name, string Value)[] fields =
        [
            .. Good().Where(pair => pair.Name != "at"), ("at", "2011-01-01T10:00:00Z"), ("sent", "2011-01-01T13:00:00Z"),
        ];
        visitor.Client.DefaultRequestHeaders.Accept.ParseAdd("application/json");
        using (HttpResponseMessage first = await visitor.SendAsync("/rounds", "/rounds/checks", fields))
        {
            Assert.Equal(HttpStatusCode.OK, first.StatusCode);
        }

        plant.Time.Advance(TimeSpan.FromSeconds(40));
        using HttpResponseMessage again = await visitor.SendAsync("/rounds", "/rounds/checks", fields);
        Assert.Equal(HttpStatusCode.OK, again.StatusCode);
        using JsonDocument told = JsonDocument.Parse(await again.Content.ReadAsStringAsync(Ended));
        Assert.Equal("It was on record already.", told.RootElement.GetProperty("note").GetString());
        Assert.Equal(now.AddHours(-3), Assert.Single(plant.Store.Work()).Record.At, TimeSpan.FromSeconds(1));

        using HttpResponseMessage changed = await visitor.SendAsync(
            "/rounds", "/rounds/checks", [.. fields.Where(pair => pair.Name != "pressure"), ("pressure", "71")]);
        Assert.Equal(HttpStatusCode.Conflict, changed.StatusCode);
        Assert.Single(plant.Store.Work());
    }

    [Theory]
    [InlineData(1280)]
    [InlineData(390)]
    public async Task A_vessels_page_sets_the_checks_beside_the_transducer(int width)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        DateTimeOffset now = plant.Time.GetUtcNow();
        double ambientPa = plant.Register.Current.Find("PR1-A1")!.Specification.Ambient.Pascals;
        var segment = new TrendSegment(0, now.AddDays(-100), SegmentCause.FirstWindow);
        plant.Store.Save(new VesselStep
        {
            VesselId = "PR1-A1",
            InboxSequence = 0,
            Windows =
            [
                new PrechargeWindow
                {
                    Start = now.AddHours(-3),
                    End = now.AddHours(-1),
                    ReadingCount = 100,
                    Evidence = WindowEvidence.FluidPressure,
                    MeanPressurePa = 60e5 + ambientPa,
                    MeanTemperatureK = 293.15,
                    PrechargePa = 60e5 + ambientPa,
                    RandomUncertaintyPa = 2e4,
                    SharedUncertaintyPa = 2e4,
                    IsochoreSlopePaPerK = 0,
                    Rest = 1,
                    Standing = WindowStanding.Accepted,
                    Segment = 0,
                },
            ],
            Assessment = new Assessment
            {
                AsOf = now.AddHours(1),
                Verdict = Verdict.NotKnownYet,
                Reason = "Only 1 point.",
                Segment = segment,
                PointCount = 1,
                LastWindow = now.AddHours(-1),
                Drift = new TransducerDrift(1, -1.1, 0.2, now, -10e5, 1e5, now, 6, -Math.Log(0.01)),
            },
            Notices = [],
            AlarmChanges = [],
            Checkpoint = new VesselCheckpoint(now, new byte[] { 1 }),
        });
        IPage page = await OpenAsync(plant, "/rounds?vessel=PR1-A1", width, ColorScheme.Light);
        await EnterAsync(page, "PR1-A1", "70", "20");
        await Assertions.Expect(page.Locator("#entries-list li")).ToHaveAttributeAsync("data-state", "sent");
        await page.GotoAsync(plant.Desk.Address + "/vessels/PR1-A1");
        ILocator section = page.Locator("section[aria-labelledby=hand-heading]");
        await Assertions.Expect(section).ToContainTextAsync("the pressure transducer drifts");
        await Assertions.Expect(section.Locator("tbody tr")).ToHaveCountAsync(1);
        await Assertions.Expect(section.Locator("tbody tr")).ToContainTextAsync(new Regex(@"-10\.0 ± \d\.\d bar\s*G-7"));
        await page.Locator("figure[data-live] canvas").WaitForAsync();
        await Pictures.KeepAsync(page, $"hand-{width}-light");
        await Browser.JudgeAsync(page, width);
        await page.Context.CloseAsync();
    }

    /// <summary>'No check is due' of a vessel that nobody knows would sound like good news.</summary>
    [Theory]
    [InlineData("?vessel=nobody", "The register has no vessel ")]
    [InlineData("?place=nowhere", "No vessel of the register stands at ")]
    public async Task A_vessel_or_place_that_the_register_lacks_is_told_and_the_whole_round_shown(string query, string word)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new() { Port = 0 });
        using Visitor visitor = new(plant.Desk.Address);
        string page = await visitor.ReadAsync("/rounds" + query);
        Assert.Contains(word, page, StringComparison.Ordinal);
        Assert.Contains("Round: 16 checks are due", page, StringComparison.Ordinal);
    }

    [Fact]
    public async Task A_number_with_a_comma_is_told_and_nothing_that_is_good()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor visitor = await plant.Desk.VisitAsync(Role.Technician);
        using HttpResponseMessage answer = await visitor.SendAsync("/rounds", "/rounds/checks", [.. Good().Where(pair => pair.Name != "pressure"), ("pressure", "88,5")]);
        string page = await answer.Content.ReadAsStringAsync(Ended);
        Assert.Contains("with a decimal point", page, StringComparison.Ordinal);
        Assert.DoesNotContain("one of them is missing", page, StringComparison.Ordinal);
    }

    [Theory]
    [InlineData(1280)]
    [InlineData(390)]
    public async Task A_technician_records_on_the_vessels_page_that_a_transducer_was_changed(int width)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        IPage page = await OpenAsync(plant, "/rounds", width, ColorScheme.Light);
        await page.GotoAsync(plant.Desk.Address + "/vessels/PR1-A1");
        await page.GetByText("A transducer was changed").ClickAsync();
        string typed = Typed(plant.Time.GetUtcNow().AddHours(-30));
        await page.GetByLabel("When, UTC").FillAsync(typed);
        await page.GetByLabel("Note: which transducer, and why").FillAsync("pressure, drifted");
        await Browser.JudgeAsync(page, width);
        await page.GetByRole(AriaRole.Button, new() { Name = "Record the change" }).ClickAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Transducer change of PR1-A1");
        await Assertions.Expect(page.Locator(".facts")).Not.ToContainTextAsync("Gas pressure");
        WorkRecord record = Assert.Single(plant.Store.WorkOf("PR1-A1")).Record;
        Assert.Equal((WorkKind.TransducerChange, typed, "Bea", "pressure, drifted"), (record.Kind, Typed(record.At), record.Who, record.Note));
        Assert.Single(plant.Register.Current.Find("PR1-A1")!.TransducerChanges);
        Assert.Empty(browser.Trouble(page));
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task Who_may_only_read_cannot_record_a_change_of_a_transducer()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor visitor = await plant.Desk.VisitAsync(Role.Viewer);
        Assert.DoesNotContain("transducer-changes", await visitor.ReadAsync("/vessels/PR1-A1"), StringComparison.Ordinal);
        using HttpResponseMessage answer = await visitor.SendAsync("/vessels/PR1-A1", "/vessels/PR1-A1/transducer-changes", Good());
        Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
        Assert.Empty(plant.Store.Work());
    }

    [Fact]
    public async Task Who_may_only_read_sees_the_round_and_cannot_record()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Ada", Role.Viewer);
        using Visitor visitor = new(plant.Desk.Address);
        await visitor.SignInAsync("Ada", ServedDesk.Password);
        string page = await visitor.ReadAsync("/rounds");
        Assert.DoesNotContain("/rounds/checks", page, StringComparison.Ordinal);
        using HttpResponseMessage answer = await visitor.SendAsync("/rounds", "/rounds/checks", Good());
        Assert.Equal(HttpStatusCode.Forbidden, answer.StatusCode);
        Assert.Empty(plant.Store.Work());
    }

    private static (string Name, string Value)[] Good() =>
    [
        ("id", "0b9f5c0e-3c1a-4c86-9d5b-6b1b6f2a7a11"), ("vessel", "PR1-A1"), ("pressure", "70"), ("unit", "bar"), ("temperature", "35"),
        ("who", "Bea"), ("gauge", "G-7"), ("note", ""), ("confirmed", "yes"), ("at", ""),
    ];

    /// <summary>As the field for the time sends it.</summary>
    private static string Typed(DateTimeOffset at) =>
        at.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm", System.Globalization.CultureInfo.InvariantCulture);

    private async Task<IPage> OpenAsync(PlantOfOne plant, string address, int width, ColorScheme theme, string? zone = null)
    {
        _ = plant.Desk.Add("Bea", Role.Technician);
        IPage page = await browser.OpenAsync(plant.Desk.Address + address, width, theme, zone: zone);
        await Browser.SignInAsync(page, "Bea", ServedDesk.Password);
        await page.Locator("#round").WaitForAsync(new() { State = WaitForSelectorState.Attached });

        // The script of the round comes after the page: a form that is sent before is sent without it.
        await page.WaitForLoadStateAsync(LoadState.Load);
        return page;
    }

    private static ILocator Form(IPage page, string vessel) => page.Locator($"article[data-vessel='{vessel}'] form");

    private static async Task FillAsync(IPage page, string vessel, string bar, string celsius)
    {
        await page.Locator($"article[data-vessel='{vessel}'] summary").ClickAsync();
        ILocator form = Form(page, vessel);
        await form.GetByLabel("Gas pressure, gauge").FillAsync(bar);
        await form.GetByLabel("Gas temperature, °C").FillAsync(celsius);
        await form.GetByLabel("Gauge (its number)").FillAsync("G-7");
        await form.GetByLabel("The fluid side was isolated and fully released").CheckAsync();
    }

    private static async Task EnterAsync(IPage page, string vessel, string bar, string celsius)
    {
        await FillAsync(page, vessel, bar, celsius);
        await Form(page, vessel).GetByRole(AriaRole.Button, new() { Name = "Record the check" }).ClickAsync();
    }
}
