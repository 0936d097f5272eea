using System.Net;
using System.Text.Json.Nodes;
using DriftWatch.Host.Web.Register;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Register;
using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>The register on pages: over HTTP and in a real browser.</summary>
public sealed class RegisterPageTests(Browser browser) : IClassFixture<Browser>
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("precharge.lowerLimitBarGauge", "More than 0, up to 650.")]
    [InlineData("precharge.referenceTemperatureCelsius", "-20 to 60.")]
    [InlineData("falseAlarmProbability", "More than 0, less than 0.5.")]
    [InlineData("gasPressure.topic", "Up to 1024 characters.")]
    public void A_field_says_what_the_schema_allows(string path, string allowed) =>
        Assert.EndsWith(" " + allowed, RegisterForm.Groups.SelectMany(group => group.Fields).Single(field => field.Path.EndsWith(path, StringComparison.Ordinal)).Help, StringComparison.Ordinal);

    [Fact]
    public void What_stands_in_the_form_gives_the_entry_back()
    {
        string text = File.ReadAllText(Path.Combine(Repository.SampleStreams, "register.json"));
        foreach (Vessel vessel in RegisterReader.Read(text).Register!.Vessels)
        {
            JsonObject entry = RegisterText.EntryOf(text, vessel.Id)!;
            Dictionary<string, string> values = RegisterForm.Read(entry);
            JsonObject again = RegisterForm.Write(entry, path => values.GetValueOrDefault(path) ?? "");
            Assert.Empty(RegisterText.Changes(text, RegisterText.Put(text, vessel.Id, again)));

            // And a vessel made from the fields alone lacks only its lists of records.
            JsonObject fresh = RegisterForm.Write(null, path => values.GetValueOrDefault(path) ?? "");
            Assert.All(RegisterText.Changes(text, RegisterText.Put(text, vessel.Id, fresh)), change => Assert.Contains(change.Field, (string[])["charges", "checks"]));
        }
    }

    [Theory]
    [InlineData("vessels[3].precharge.lowerLimitBarGauge", "precharge.lowerLimitBarGauge")]
    [InlineData("vessels[0].sensors.gasPressure.rangeBar[1]", "sensors.gasPressure.rangeBar.1")]
    [InlineData("vessels[0].sensors.gasPressure.rangeBar", "sensors.gasPressure.rangeBar.0")]
    [InlineData("vessels[0].allowedLoss", "allowedLoss")]
    [InlineData("vessels[0].sensors.fluidPressure", "sensors.fluidPressure")]
    [InlineData("vessels[0].charges[2]", null)]
    [InlineData("calendar.leadTimeDays", null)]
    public void A_defect_stands_at_its_field(string place, string? field) =>
        Assert.Equal(field, RegisterForm.FieldOf(new RegisterDefect(place, "PR1-A1", "Wrong.", "Mend it.")));

    [Theory]
    [InlineData(1280, ColorScheme.Light)]
    [InlineData(390, ColorScheme.Dark)]
    public async Task An_engineer_edits_a_vessel_mends_what_is_wrong_and_finds_it_in_the_history(int width, ColorScheme theme)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Enno", Role.Engineer);
        IPage page = await browser.OpenAsync(plant.Desk.Address + "/vessels/PR1-A1", width, theme);
        await Browser.SignInAsync(page, "Enno", ServedDesk.Password);
        await page.GetByRole(AriaRole.Link, new() { Name = "Edit what is registered" }).ClickAsync();
        await CheckAsync(page, "register-vessel", width);
        ILocator lower = page.GetByLabel("Lower limit, bar gauge", new() { Exact = true });
        await lower.FillAsync("170");
        await page.GetByLabel("Place", new() { Exact = true }).FillAsync("Bay 4");
        await page.GetByRole(AriaRole.Button, new() { Name = "Change", Exact = true }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("not below the nominal");
        await Assertions.Expect(lower).ToHaveAttributeAsync("aria-invalid", "true");
        await Assertions.Expect(page.GetByLabel("Place", new() { Exact = true })).ToHaveValueAsync("Bay 4");
        await CheckAsync(page, "register-defects", width);
        Assert.Equal(90, plant.Register.Current.Find("PR1-A1")!.Specification.LowerLimit.Bar, 9);
        await page.GetByRole(AriaRole.Link, new() { Name = "Precharge: lower limit, bar gauge" }).ClickAsync();
        await lower.FillAsync("91.5");
        await page.GetByRole(AriaRole.Button, new() { Name = "Change", Exact = true }).ClickAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("PR1-A1");
        await Assertions.Expect(page.Locator(".heading")).ToContainTextAsync("Bay 4");
        Assert.Equal(91.5, plant.Register.Current.Find("PR1-A1")!.Specification.LowerLimit.Bar, 9);
        await page.Locator("summary", new() { HasText = "What was changed" }).ClickAsync();
        await Assertions.Expect(page.Locator("details li", new() { HasText = "lowerLimitBarGauge" })).ToContainTextAsync("Enno: precharge.lowerLimitBarGauge from 90 to 91.5");
        await CheckAsync(page, "register-history", width);
        AuditEntry audited = plant.Store.AuditBefore(long.MaxValue, 10, "PR1-A1")[0].Entry;
        Assert.Equal(("Enno", "vessel changed"), (audited.PersonName, audited.What));
        Assert.Contains("precharge.lowerLimitBarGauge 90", audited.Before, StringComparison.Ordinal);
        Assert.Contains("precharge.lowerLimitBarGauge 91.5", audited.After, StringComparison.Ordinal);
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1280)]
    [InlineData(390)]
    public async Task A_file_is_shown_with_its_differences_before_it_is_taken_in(int width)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Enno", Role.Engineer);
        string text = await File.ReadAllTextAsync(plant.RegisterPath, Ended);
        JsonObject entry = RegisterText.EntryOf(text, "PR1-A2")!;
        entry["place"] = "Elsewhere";
        string after = RegisterText.Remove(RegisterText.Put(text, "PR1-A2", entry), "YD1-A1");
        IPage page = await browser.OpenAsync(plant.Desk.Address + "/register", width);
        await Browser.SignInAsync(page, "Enno", ServedDesk.Password);
        await CheckAsync(page, "register", width);
        await ShowAsync(text.Replace("\"bladder\"", "\"balloon\"", StringComparison.Ordinal));
        await Assertions.Expect(page.Locator("h1")).ToContainTextAsync("defect");
        await CheckAsync(page, "register-import-defects", width);
        await page.GotoAsync(plant.Desk.Address + "/register");
        await ShowAsync(after);
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("1 vessel is not in the file and would be retired: YD1-A1");
        await Assertions.Expect(page.Locator(".changes tbody tr").First).ToContainTextAsync("PR1-A2");
        await CheckAsync(page, "register-import", width);
        Assert.Equal(16, plant.Register.Current.Vessels.Count);
        await page.GetByRole(AriaRole.Button, new() { Name = "Take it in" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Status)).ToContainTextAsync("The file is taken in");
        Assert.Equal(15, plant.Register.Current.Vessels.Count);
        Assert.Equal(after, await File.ReadAllTextAsync(plant.RegisterPath, Ended));
        Assert.Equal("vessel retired", plant.Store.AuditBefore(long.MaxValue, 10, "YD1-A1")[0].Entry.What);
        await page.Context.CloseAsync();

        async Task ShowAsync(string content)
        {
            await page.GetByLabel("Register file (JSON)").SetInputFilesAsync(new FilePayload { Name = "register.json", MimeType = "application/json", Buffer = System.Text.Encoding.UTF8.GetBytes(content) });
            await page.GetByRole(AriaRole.Button, new() { Name = "Show the differences" }).ClickAsync();
        }
    }

    [Fact]
    public async Task A_vessel_is_added_like_another_and_retired_with_a_reason()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor engineer = await plant.Desk.VisitAsync(Role.Engineer);
        Dictionary<string, string> values = RegisterForm.Read(RegisterText.EntryOf(await File.ReadAllTextAsync(plant.RegisterPath, Ended), "PR1-A1"));
        string page = await engineer.ReadAsync("/register/new?like=PR1-A1");
        Assert.DoesNotContain(values["sensors.gasPressure.topic"], page, StringComparison.Ordinal);
        values["id"] = "PR1-A9";
        foreach (string path in values.Keys.Where(path => path.EndsWith(".topic", StringComparison.Ordinal)).ToList())
        {
            values[path] = "works/pr1/a9";
        }

        (string, string)[] fields = [.. values.Select(field => (field.Key, field.Value))];
        using HttpResponseMessage added = await engineer.SendAsync("/register/new", "/register/new", fields);
        Assert.Equal("/register?done=PR1-A9", added.Headers.Location?.ToString());
        Assert.NotNull(plant.Register.Current.Find("PR1-A9"));
        Assert.Contains("PR1-A9", await engineer.ReadAsync("/vessels/PR1-A9"), StringComparison.Ordinal);
        using HttpResponseMessage twice = await engineer.SendAsync("/register/new", "/register/new", fields);
        Assert.Equal(HttpStatusCode.Conflict, twice.StatusCode);

        string seen = SeenOn(await engineer.ReadAsync("/register/vessels/PR1-A9"));
        using HttpResponseMessage unsure = await engineer.SendAsync("/register/vessels/PR1-A9", "/register/vessels/PR1-A9/retire", ("seen", seen), ("why", "scrapped"));
        Assert.Equal(HttpStatusCode.BadRequest, unsure.StatusCode);
        using HttpResponseMessage retired = await engineer.SendAsync("/register/vessels/PR1-A9", "/register/vessels/PR1-A9/retire", ("seen", seen), ("why", "scrapped"), ("sure", "yes"));
        Assert.Equal(HttpStatusCode.Redirect, retired.StatusCode);
        Assert.Null(plant.Register.Current.Find("PR1-A9"));
        AuditEntry audited = plant.Store.AuditBefore(long.MaxValue, 10, "PR1-A9")[0].Entry;
        Assert.Equal("vessel retired", audited.What);
        Assert.StartsWith("scrapped", audited.After, StringComparison.Ordinal);
    }

    [Fact]
    public async Task Someone_elses_change_is_not_overwritten_unseen()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor engineer = await plant.Desk.VisitAsync(Role.Engineer);
        string page = await engineer.ReadAsync("/register/vessels/PR1-A1");
        Dictionary<string, string> values = RegisterForm.Read(RegisterText.EntryOf(await File.ReadAllTextAsync(plant.RegisterPath, Ended), "PR1-A1"));
        await PlaceAsync("PR1-A1", "Where the other put it");
        values["place"] = "Where I put it";
        (string, string)[] fields = [.. values.Select(field => (field.Key, field.Value))];
        using HttpResponseMessage refused = await engineer.SendWithAsync(Visitor.TokenOf(page), "/register/vessels/PR1-A1", [.. fields, ("seen", SeenOn(page))]);
        Assert.Equal(HttpStatusCode.Conflict, refused.StatusCode);
        Assert.Equal("Where the other put it", plant.Register.Current.Find("PR1-A1")!.Place);
        string again = await refused.Content.ReadAsStringAsync(Ended);
        Assert.Contains("Where I put it", again, StringComparison.Ordinal);

        // A change of another vessel is in nobody's way.
        await PlaceAsync("PR1-A2", "Elsewhere");
        using HttpResponseMessage taken = await engineer.SendWithAsync(Visitor.TokenOf(again), "/register/vessels/PR1-A1", [.. fields, ("seen", SeenOn(again))]);
        Assert.Equal(HttpStatusCode.Redirect, taken.StatusCode);
        Assert.Equal("Where I put it", plant.Register.Current.Find("PR1-A1")!.Place);
        Assert.Equal("Elsewhere", plant.Register.Current.Find("PR1-A2")!.Place);

        async Task PlaceAsync(string vessel, string place)
        {
            DriftWatch.Host.Registering.RegisterFileState state = await plant.Editor.ReadAsync(Ended);
            JsonObject entry = RegisterText.EntryOf(state.Text, vessel)!;
            entry["place"] = place;
            _ = await plant.Editor.PutAsync(vessel, entry, "the other", DriftWatch.Plant.Records.RecordSource.Page, state.Version, Ended);
        }
    }

    [Fact]
    public async Task A_file_that_was_spoilt_by_hand_is_told_on_the_page()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        using Visitor engineer = await plant.Desk.VisitAsync(Role.Engineer);
        await File.WriteAllTextAsync(plant.RegisterPath, "{ spoilt", Ended);
        foreach (string address in (string[])["/register/vessels/PR1-A1", "/register/new?like=PR1-A1"])
        {
            using HttpResponseMessage told = await engineer.GetAsync(address);
            Assert.Equal(HttpStatusCode.Conflict, told.StatusCode);
            Assert.Contains("mend it first", await told.Content.ReadAsStringAsync(Ended), StringComparison.Ordinal);
        }
    }

    [Fact]
    public async Task Only_engineers_change_the_register_and_all_may_save_it()
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        string text = await File.ReadAllTextAsync(plant.RegisterPath, Ended);
        foreach (Role role in Enum.GetValues<Role>())
        {
            using Visitor visitor = await plant.Desk.VisitAsync(role);
            bool may = role >= Role.Engineer;
            string page = await visitor.ReadAsync("/register");
            Assert.Equal(may, page.Contains("/register/new", StringComparison.Ordinal));
            Assert.Equal(text, await visitor.ReadAsync("/register/register.json"));
            foreach (string address in (string[])["/register/new", "/register/vessels/PR1-A1"])
            {
                using HttpResponseMessage form = await visitor.GetAsync(address);
                Assert.Equal(may ? HttpStatusCode.OK : HttpStatusCode.Forbidden, form.StatusCode);
            }

            foreach (string address in (string[])["/register/new", "/register/vessels/PR1-A1", "/register/vessels/PR1-A1/retire", "/register/import", "/register/import/take"])
            {
                using HttpResponseMessage sent = await visitor.SendAsync("/register", address, ("id", "PR1-A1"));
                Assert.Equal(may, sent.StatusCode != HttpStatusCode.Forbidden);
            }
        }

        Assert.Equal(text, await File.ReadAllTextAsync(plant.RegisterPath, Ended));
    }

    private static string SeenOn(string page) => WebUtility.HtmlDecode(System.Text.RegularExpressions.Regex.Match(page, "name=\"seen\" value=\"([^\"]+)\"").Groups[1].Value);

    private static async Task CheckAsync(IPage page, string name, int width)
    {
        await Pictures.KeepAsync(page, $"{name}-{width}");
        await Browser.JudgeAsync(page, width);
    }
}
