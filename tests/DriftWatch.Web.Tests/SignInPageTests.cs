using System.Text.RegularExpressions;
using DriftWatch.Delivery.Security;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using DriftWatch.TestPeers;
using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>Sign-in, people and audit log in a real browser.</summary>
public sealed class SignInPageTests(Browser browser) : IClassFixture<Browser>
{
    [Theory]
    [InlineData(1280, ColorScheme.Light)]
    [InlineData(390, ColorScheme.Dark)]
    public async Task Someone_signs_in_changes_the_password_and_signs_out(int width, ColorScheme theme)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Ada", Role.Viewer);
        IPage page = await browser.OpenAsync(plant.Desk.Address + "/vessels/PR1-A1", width, theme);
        await CheckAsync(page, "sign-in", width);
        await Browser.SignInAsync(page, "Ada", "not the password");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToHaveTextAsync("Name or password is wrong.");
        await CheckAsync(page, "sign-in-wrong", width);
        await Browser.SignInAsync(page, "Ada", ServedDesk.Password);
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("PR1-A1");
        await page.GetByRole(AriaRole.Link, new() { Name = "Ada" }).ClickAsync();
        await CheckAsync(page, "me", width);
        await page.GetByLabel("Present password").FillAsync(ServedDesk.Password);
        await page.GetByLabel("New password, 12").FillAsync("other words in a row");
        await page.GetByLabel("New password again").FillAsync("other words in a row");
        await page.GetByRole(AriaRole.Button, new() { Name = "Change" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Status)).ToContainTextAsync("The password is changed");
        await page.GetByLabel("What it is for").FillAsync("the historian");
        await page.GetByRole(AriaRole.Button, new() { Name = "Make a token" }).ClickAsync();
        string secret = await page.Locator(".secret").InnerTextAsync();
        await CheckAsync(page, "me-token", width);
        using HttpRequestMessage request = new(HttpMethod.Get, "/api/v1/me");
        request.Headers.Authorization = new System.Net.Http.Headers.AuthenticationHeaderValue("Bearer", secret);
        using HttpResponseMessage me = await plant.Desk.Client.SendAsync(request, TestContext.Current.CancellationToken);
        Assert.Contains("\"Ada\"", await me.Content.ReadAsStringAsync(TestContext.Current.CancellationToken), StringComparison.Ordinal);
        await page.GotoAsync(plant.Desk.Address + "/me");
        await Assertions.Expect(page.Locator(".secret")).ToHaveCountAsync(0);
        await page.GetByRole(AriaRole.Button, new() { Name = "Revoke the historian" }).ClickAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Button, new() { Name = "Revoke the historian" })).ToHaveCountAsync(0);
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign out", Exact = true }).ClickAsync();
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Sign in");
        await page.GotoAsync(plant.Desk.Address + "/me");
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("Sign in");
        await page.Context.CloseAsync();
    }

    [Theory]
    [InlineData(1280, ColorScheme.Dark)]
    [InlineData(390, ColorScheme.Light)]
    public async Task An_administrator_looks_after_people_and_reads_what_they_did(int width, ColorScheme theme)
    {
        await using PlantOfOne plant = await PlantOfOne.StartAsync();
        _ = plant.Desk.Add("Ada", Role.Administrator);
        _ = plant.Desk.Add("Bea", Role.Technician);
        IPage page = await browser.OpenAsync(plant.Desk.Address + "/people", width, theme);
        await Browser.SignInAsync(page, "Ada", ServedDesk.Password);
        await page.GetByLabel("Name").FillAsync("Cor");
        await page.GetByLabel("Role", new() { Exact = true }).SelectOptionAsync("engineer");
        await page.GetByLabel("First password").FillAsync("some words of Cora"[..12] + " and more");
        await page.GetByRole(AriaRole.Button, new() { Name = "Add" }).ClickAsync();
        await Assertions.Expect(page.Locator(".people > li")).ToHaveCountAsync(3);
        await page.Locator("summary", new() { HasText = "Bea" }).ClickAsync();
        await CheckAsync(page, "people", width);
        await page.GetByRole(AriaRole.Button, new() { Name = "Disable Bea" }).ClickAsync();
        await Assertions.Expect(page.Locator("summary", new() { HasText = "Bea" })).ToContainTextAsync("disabled");
        await page.GetByRole(AriaRole.Link, new() { Name = "Audit log" }).ClickAsync();
        await Assertions.Expect(page.Locator(".audit tbody tr").First).ToContainTextAsync(new Regex("Ada.*127\\.0\\.0\\.1.*person disabled.*Bea", RegexOptions.Singleline));
        await CheckAsync(page, "audit", width);
        await page.Context.CloseAsync();
    }

    [Fact]
    public async Task A_provider_vouches_for_people_and_says_what_they_may_do()
    {
        int port = FreePort.Find();
        await using OidcProvider provider = await OidcProvider.StartAsync(
            $"http://127.0.0.1:{port}/sign-in/vouched",
            new Dictionary<string, string[]> { ["ada"] = ["hydraulics-admins", "canteen"], ["bea"] = ["hydraulics-readers"], ["eve"] = ["canteen"] });
        Environment.SetEnvironmentVariable("DRIFTWATCH_TEST_OIDC", OidcProvider.ClientSecret);
        await using PlantOfOne plant = await PlantOfOne.StartAsync(new WebSettings
        {
            Port = port,
            SignIn = "oidc",
            Oidc = new OidcSettings
            {
                Authority = provider.Issuer,
                ClientId = OidcProvider.ClientId,
                ClientSecret = new SecretSource { EnvironmentVariable = "DRIFTWATCH_TEST_OIDC" },
                Scopes = ["groups"],
                RoleClaim = "groups",
                Roles = new Dictionary<string, string> { ["hydraulics-admins"] = "administrator", ["hydraulics-readers"] = "viewer" },
            },
        });

        IPage page = await browser.OpenAsync(plant.Desk.Address + "/vessels/PR1-A1");
        await CheckAsync(page, "sign-in-provider", 1280);
        await VouchAsync(page, "ada");
        await Assertions.Expect(page.Locator("h1")).ToHaveTextAsync("PR1-A1");
        await page.GetByRole(AriaRole.Link, new() { Name = "People" }).ClickAsync();
        await Assertions.Expect(page.Locator("summary")).ToContainTextAsync("ada of the provider administrator");
        await page.Context.CloseAsync();

        page = await browser.OpenAsync(plant.Desk.Address);
        await VouchAsync(page, "bea");
        await Assertions.Expect(page.GetByRole(AriaRole.Link, new() { Name = "bea of the provider" })).ToBeVisibleAsync();
        await Assertions.Expect(page.GetByRole(AriaRole.Link, new() { Name = "People" })).ToHaveCountAsync(0);
        IResponse? people = await page.GotoAsync(plant.Desk.Address + "/people");
        Assert.Equal(403, people!.Status);
        await page.Context.CloseAsync();

        page = await browser.OpenAsync(plant.Desk.Address);
        await VouchAsync(page, "eve");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("you have no role here");
        Assert.Equal(["ada of the provider", "bea of the provider"], plant.Store.Accounts().Select(account => account.Person.Name));
        await page.Context.CloseAsync();

        // Disabled here, the provider's word does not help.
        Account bea = plant.Store.Accounts()[1];
        Assert.Equal(WriteOutcome.Done, plant.Store.Change(bea.Person.Id, account => account with { Disabled = true }, new AuditEntry(plant.Time.GetUtcNow(), "", "test", "test", "person disabled")));
        page = await browser.OpenAsync(plant.Desk.Address);
        await VouchAsync(page, "bea");
        await Assertions.Expect(page.GetByRole(AriaRole.Alert)).ToContainTextAsync("you have no role here");
        await page.Context.CloseAsync();
    }

    private static async Task VouchAsync(IPage page, string name)
    {
        await page.GetByRole(AriaRole.Link, new() { Name = "Go to the sign-in of the plant" }).ClickAsync();
        await page.GetByPlaceholder("Enter any login").FillAsync(name);
        await page.GetByPlaceholder("and password").FillAsync("any");
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign-in" }).ClickAsync();
        await page.GetByRole(AriaRole.Button, new() { Name = "Continue" }).ClickAsync();
    }

    private static async Task CheckAsync(IPage page, string name, int width)
    {
        await Pictures.KeepAsync(page, $"{name}-{width}");
        await Browser.JudgeAsync(page, width);
    }
}
