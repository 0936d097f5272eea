using System.Reflection;
using System.Security.Cryptography;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;
using Microsoft.Net.Http.Headers;

namespace DriftWatch.Host.Web;

/// <summary>The files of the pages, carried inside the program. Addresses hold a digest of the content, so browsers keep them for good.</summary>
internal static class DeskFiles
{
    private const string Prefix = "web/";

    private static readonly Dictionary<string, Asset> Files = Load();

    private static readonly Dictionary<string, string> Types = new(StringComparer.Ordinal)
    {
        [".css"] = "text/css; charset=utf-8",
        [".js"] = "text/javascript; charset=utf-8",
        [".svg"] = "image/svg+xml",
        [".txt"] = "text/plain; charset=utf-8",
    };

    /// <summary>Address of a file, for a page.</summary>
    public static string Address(string name) => $"/assets/{Files[name].Digest}/{name}";

    /// <summary>Content of a file, for an address of its own.</summary>
    public static byte[] Content(string name) => Files[name].Content;

    public static void MapFiles(this IEndpointRouteBuilder routes) =>
        routes.MapGet("/assets/{digest}/{**name}", (string digest, string name, HttpResponse response) =>
        {
            if (!Files.TryGetValue(name, out Asset? asset) || asset.Digest != digest)
            {
                return Results.NotFound();
            }

            response.Headers.CacheControl = "public, max-age=31536000, immutable";
            return Results.Bytes(asset.Content, Types[Path.GetExtension(name)], entityTag: new EntityTagHeaderValue($"\"{asset.Digest}\""));
        }).ExcludeFromDescription().AllowAnonymous();

    private static Dictionary<string, Asset> Load()
    {
        Assembly assembly = typeof(DeskFiles).Assembly;
        var files = new Dictionary<string, Asset>(StringComparer.Ordinal);
        foreach (string resource in assembly.GetManifestResourceNames().Where(name => name.StartsWith(Prefix, StringComparison.Ordinal)))
        {
            using Stream stream = assembly.GetManifestResourceStream(resource)!;
            byte[] content = new byte[stream.Length];
            stream.ReadExactly(content);
            files.Add(
                resource[Prefix.Length..].Replace('\\', '/'),
                new Asset(content, Convert.ToHexStringLower(SHA256.HashData(content))[..16]));
        }

        return files;
    }

    private sealed record Asset(byte[] Content, string Digest);
}
