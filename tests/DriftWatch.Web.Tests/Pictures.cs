using Microsoft.Playwright;

namespace DriftWatch.Web.Tests;

/// <summary>Screenshots of the tests, kept as build output; those that the documents show go there when asked for.</summary>
internal static class Pictures
{
    /// <summary>Set to have the pictures of the documents renewed.</summary>
    private const string Renew = "DRIFTWATCH_RENEW_PICTURES";

    private const int HighestInDocuments = 2400;

    private static readonly string[] InDocuments = ["fleet-1280-light", "fleet-390-dark", "leak-1280-light", "window-1280-light"];

    public static async Task KeepAsync(IPage page, string name)
    {
        await page.WaitForLoadStateAsync(LoadState.Load);
        byte[] picture = await page.ScreenshotAsync(new PageScreenshotOptions { FullPage = true });
        string folder = Path.Combine(AppContext.BaseDirectory, "pictures");
        Directory.CreateDirectory(folder);
        await File.WriteAllBytesAsync(Path.Combine(folder, name + ".png"), picture);
        if (Environment.GetEnvironmentVariable(Renew) is { Length: > 0 } && InDocuments.Contains(name))
        {
            // A document shows the top of a long page; the rest is more of the same.
            int width = page.ViewportSize!.Width;
            int height = Math.Min(HighestInDocuments, await page.EvaluateAsync<int>("document.documentElement.scrollHeight"));
            await page.ScreenshotAsync(new PageScreenshotOptions
            {
                FullPage = true,
                Clip = new Clip { X = 0, Y = 0, Width = width, Height = height },
                Path = Path.Combine(Repository.Root, "docs", "pictures", $"page-{name}.png"),
            });
        }
    }
}
