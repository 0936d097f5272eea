using System.Net;
using System.Text.Json;
using DriftWatch.Host.Settings;
using DriftWatch.Storage;

namespace DriftWatch.Host.Tests;

/// <summary>The command 'pages': no service runs behind them, and they say so.</summary>
public sealed class PagesCommandTests
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Fact]
    public async Task They_say_that_no_service_runs()
    {
        using TemporaryFolder folder = new();
        using ProgramRun pages = await StartAsync(folder, "none");
        using HttpClient client = await ClientAsync(pages);
        string page = await client.GetStringAsync("/service", Ended);
        Assert.Contains("<h1>No service runs behind these pages</h1>", page, StringComparison.Ordinal);
        Assert.DoesNotContain("is well", page, StringComparison.Ordinal);
        using JsonDocument report = JsonDocument.Parse(await client.GetStringAsync("/health", Ended));
        Assert.Equal(JsonValueKind.Null, report.RootElement.GetProperty("state").ValueKind);
        using HttpResponseMessage ready = await client.GetAsync("/health/ready", Ended);
        Assert.Equal(HttpStatusCode.ServiceUnavailable, ready.StatusCode);
        Assert.Equal("not ready: no service runs behind these pages", await ready.Content.ReadAsStringAsync(Ended));
        Assert.Equal(HttpStatusCode.OK, (await client.GetAsync("/health/live", Ended)).StatusCode);
    }

    /// <summary>Its log is that of the service: a framework's remarks on each page with a form are none of it.</summary>
    [Fact]
    public async Task A_page_with_a_form_is_no_warning()
    {
        using TemporaryFolder folder = new();
        using ProgramRun pages = await StartAsync(folder, "local");
        using HttpClient client = await ClientAsync(pages);
        Assert.Contains("<form", await client.GetStringAsync("/sign-in", Ended), StringComparison.Ordinal);
        Assert.Equal(0, await pages.TerminateAsync());
        Assert.DoesNotContain("warn", await pages.Output, StringComparison.Ordinal);
    }

    private static async Task<ProgramRun> StartAsync(TemporaryFolder folder, string signIn)
    {
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), folder.File("register.json"));
        _ = Directory.CreateDirectory(folder.File("data"));
        new PlantStore(new StoreOptions { Path = folder.File("data", "driftwatch.db") }).Dispose();
        await File.WriteAllTextAsync(
            folder.File("driftwatch.json"), SettingsJson.Write(new ServiceSettings { Register = "register.json", Web = new WebSettings { Port = 0, SignIn = signIn } }), Ended);
        return ProgramRun.Start("pages", "--settings", folder.File("driftwatch.json"));
    }

    private static async Task<HttpClient> ClientAsync(ProgramRun pages)
    {
        string said = await pages.SaysAsync("Pages of ");
        return new HttpClient { BaseAddress = new Uri(said.Split(' ').First(word => word.StartsWith("http://", StringComparison.Ordinal))) };
    }
}
