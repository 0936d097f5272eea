using System.Net;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web;

/// <summary>
/// What every answer says to the browser: nothing is fetched from elsewhere, nothing runs that is not a file of ours, no other
/// site frames or reads a page. A request under a foreign name is refused: a page of elsewhere whose name was pointed at this
/// machine would otherwise read what is here.
/// </summary>
internal sealed class Hygiene(RequestDelegate next)
{
    private const string ContentPolicy =
        "default-src 'none'; script-src 'self'; style-src 'self'; img-src 'self'; connect-src 'self'; form-action 'self'; base-uri 'none'; frame-ancestors 'none'";

    public Task InvokeAsync(HttpContext context)
    {
        IHeaderDictionary headers = context.Response.Headers;
        headers.ContentSecurityPolicy = ContentPolicy;
        headers.XContentTypeOptions = "nosniff";
        headers["Referrer-Policy"] = "same-origin";
        headers["Cross-Origin-Opener-Policy"] = "same-origin";
        headers["Cross-Origin-Resource-Policy"] = "same-origin";
        headers["Permissions-Policy"] = "camera=(), geolocation=(), microphone=(), payment=(), usb=()";
        headers.CacheControl = "no-cache";
        if (IsThisMachine(context.Request.Host.Host))
        {
            return next(context);
        }

        context.Response.StatusCode = StatusCodes.Status421MisdirectedRequest;
        return context.Response.WriteAsync("Ask for 127.0.0.1, [::1] or localhost: the pages answer to this machine's own names only.");
    }

    private static bool IsThisMachine(string host) =>
        string.Equals(host, "localhost", StringComparison.OrdinalIgnoreCase)
        || (IPAddress.TryParse(host.Trim('[', ']'), out IPAddress? address) && IPAddress.IsLoopback(address));
}
