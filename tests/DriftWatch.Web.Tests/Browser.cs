using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>The system's Chromium, and axe-core to judge what it shows.</summary>
public sealed class Browser : IAsyncLifetime
{
    private const string Chromium = "/usr/bin/chromium";

    /// <summary>Smallest side of what is tapped, px: WCAG 2.2 asks 24, a glove needs 44.</summary>
    private const double Target = 44;

    /// <summary>How long anything may take before it is held to be lost, ms: a busy machine needs more than the usual five seconds, and no test claims a time.</summary>
    private const float Patience = 120_000;

    private IPlaywright _playwright = null!;

    private IBrowser _browser = null!;

    /// <summary>Source of axe-core, put there by tests/run.</summary>
    private static string Axe { get; } = Path.Combine(Repository.Root, "tests", "DriftWatch.Web.Tests", "obj", "npm", "node_modules", "axe-core", "axe.min.js");

    public async ValueTask InitializeAsync()
    {
        if (!File.Exists(Chromium) || !File.Exists(Axe))
        {
            throw new InvalidOperationException($"{(File.Exists(Chromium) ? Axe : Chromium)} is missing: tests/run installs Chromium and axe-core.");
        }

        Assertions.SetDefaultExpectTimeout(Patience);
        _playwright = await Playwright.CreateAsync();
        _browser = await _playwright.Chromium.LaunchAsync(new BrowserTypeLaunchOptions
        {
            ExecutablePath = Chromium,
            Timeout = Patience,
            Args = ["--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking", "--disable-component-update", "--disable-sync"],
        });
    }

    /// <summary>A page of a reader with this width, theme, language and time zone.</summary>
    internal async Task<IPage> OpenAsync(
        string address, int width = 1280, ColorScheme theme = ColorScheme.Light, string language = "en-GB", bool scripts = true, string? zone = null)
    {
        IBrowserContext context = await _browser.NewContextAsync(new BrowserNewContextOptions
        {
            ViewportSize = new ViewportSize { Width = width, Height = width < 600 ? 844 : 900 },
            ColorScheme = theme,
            Locale = language,
            TimezoneId = zone,
            JavaScriptEnabled = scripts,
        });
        context.SetDefaultTimeout(Patience);
        IPage page = await context.NewPageAsync();
        List<string> trouble = [];
        Watched.Add(page, trouble);
        page.Console += (_, message) =>
        {
            if (message.Type is "error" or "warning")
            {
                trouble.Add($"{message.Type}: {message.Text}");
            }
        };
        page.PageError += (_, error) => trouble.Add(error);
        page.Request += (_, request) =>
        {
            if (new Uri(request.Url).Host != "127.0.0.1")
            {
                trouble.Add($"asked for {request.Url}");
            }
        };
        await page.GotoAsync(address, new PageGotoOptions { WaitUntil = WaitUntilState.NetworkIdle });
        return page;
    }

    /// <summary>What went wrong on a page so far: script errors, refused content, requests to elsewhere.</summary>
    internal List<string> Trouble(IPage page) => Watched.TryGetValue(page, out List<string>? trouble) ? trouble : [];

    /// <summary>Violations of WCAG 2.2 A and AA found by axe-core, a line each.</summary>
    internal static async Task<string[]> ViolationsAsync(IPage page)
    {
        // A press of a button or link is over as soon as the next page begins to come in: half a page is not what is judged.
        await page.WaitForLoadStateAsync(LoadState.Load);

        // Runs in the page by the browser's own debugging door, which the page's content policy does not close.
        await page.EvaluateAsync(await File.ReadAllTextAsync(Axe));
        return await page.EvaluateAsync<string[]>(
            """
            async () => (await axe.run(document, { runOnly: ['wcag2a', 'wcag2aa', 'wcag21a', 'wcag21aa', 'wcag22aa', 'best-practice'] })).violations
                .flatMap(violation => violation.nodes.map(node => `${violation.id}: ${node.html.slice(0, 200)} ${node.failureSummary}`))
            """);
    }

    /// <summary>Holds a page to what all pages keep: accessible, within its width, nothing too small for a glove.</summary>
    internal static async Task JudgeAsync(IPage page, int width)
    {
        Assert.Empty(await ViolationsAsync(page));
        Assert.Equal(width, await page.EvaluateAsync<int>("document.documentElement.scrollWidth"));
        Assert.Empty(await SmallTargetsAsync(page));
    }

    /// <summary>Fills in the sign-in form that a page shows, and sends it.</summary>
    internal static async Task SignInAsync(IPage page, string name, string password)
    {
        await page.GetByLabel("Name").FillAsync(name);
        await page.GetByLabel("Password").FillAsync(password);
        await page.GetByRole(AriaRole.Button, new() { Name = "Sign in" }).ClickAsync();
    }

    /// <summary>What can be tapped and is smaller than a gloved finger; links inside a sentence are exempt (WCAG 2.2, 2.5.8).</summary>
    private static Task<string[]> SmallTargetsAsync(IPage page) => page.EvaluateAsync<string[]>(
        $$"""
        () => [...document.querySelectorAll('a, button, select, summary, input:not([type=hidden])')]
            .filter(element => element.offsetParent !== null && !element.closest('p') && !element.matches('.skip'))
            .map(element => element.type === 'checkbox' ? element.parentElement : element)
            .map(element => [element, element.getBoundingClientRect()])
            .filter(([, box]) => box.width < {{Target}} - 0.5 || box.height < {{Target}} - 0.5)
            .map(([element, box]) => `${element.outerHTML.slice(0, 120)} ${box.width} x ${box.height}`)
        """);

    public async ValueTask DisposeAsync()
    {
        if (_browser is not null)
        {
            await _browser.DisposeAsync();
        }

        _playwright?.Dispose();
    }

    private Dictionary<IPage, List<string>> Watched { get; } = [];
}
