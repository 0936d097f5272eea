using System.Security.Cryptography;
using System.Text.Json;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.Json;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Options;
using Microsoft.Net.Http.Headers;

namespace DriftWatch.Host.Web.Api;

/// <summary>The strong entity tag of a value (RFC 9110): a digest of the bytes that a program gets of it, in quotes.</summary>
internal static class EntityTag
{
    public static string Of<T>(HttpContext context, T value) => Of(Bytes(context, value));

    public static string Of(ReadOnlySpan<byte> body) => $"\"{Convert.ToHexStringLower(SHA256.HashData(body))[..32]}\"";

    /// <summary>Whether a caller who reads has what stands under a tag already; the answer then carries the tag alone.</summary>
    public static bool IsKnown(HttpContext context, string tag)
    {
        context.Response.Headers.ETag = tag;
        EntityTagHeaderValue parsed = EntityTagHeaderValue.Parse(tag);
        return HttpMethods.IsGet(context.Request.Method) && context.Request.GetTypedHeaders().IfNoneMatch.Any(known => known.Equals(EntityTagHeaderValue.Any) || known.Compare(parsed, useStrongComparison: false));
    }

    public static byte[] Bytes<T>(HttpContext context, T value) => JsonSerializer.SerializeToUtf8Bytes(
        value, context.RequestServices.GetRequiredService<IOptions<JsonOptions>>().Value.SerializerOptions);
}
