using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web;

/// <summary>The addresses that programs ask for: they show a token there, and get refusals as problem details.</summary>
internal static class ForPrograms
{
    private static readonly PathString[] Paths = ["/api", "/health", "/metrics"];

    /// <summary>Whether a request is for one of them.</summary>
    public static bool Asked(HttpContext context) =>
        Paths.Any(path => context.Request.Path.StartsWithSegments(path, StringComparison.OrdinalIgnoreCase));
}
