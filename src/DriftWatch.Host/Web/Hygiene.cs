using System.Net;
using DriftWatch.Host.Settings;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web;

/// <summary>
/// What every answer says to the browser: nothing is fetched from elsewhere, nothing runs that is not a file of ours, no other
/// site frames or reads a page. A request under a foreign name is refused: a page of elsewhere whose name was pointed at this
/// machine would otherwise read what is here.
/// </summary>
internal sealed class Hygiene(RequestDelegate next, WebSettings settings)
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
        headers.CacheControl = settings.HasSignIn ? "no-store" : "no-cache";
        if (settings.IsSecure)
        {
            headers.StrictTransportSecurity = "max-age=31536000";
        }

        if (IsOurs(context.Request.Host.Host))
        {
            return next(context);
        }

        return Failures.RefuseAsync(
            context, StatusCodes.Status421MisdirectedRequest, "This is not the name of these pages.",
            "Ask for 127.0.0.1, [::1], localhost or a name given in web.names: the pages answer to their own names only.");
    }

    private bool IsOurs(string host) =>
        string.Equals(host, "localhost", StringComparison.OrdinalIgnoreCase)
        || settings.Names.Contains(host.Trim('[', ']'), StringComparer.OrdinalIgnoreCase)
        || (IPAddress.TryParse(host.Trim('[', ']'), out IPAddress? address) && IPAddress.IsLoopback(address));
}
