using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.People;

/// <summary>
/// Takes a form only when it comes from a page of ours: by the browser's word on where it comes from, and by the token that
/// each form of ours holds (<c>&lt;AntiforgeryToken /&gt;</c>). Covers everything outside the interface for programs, which
/// changes nothing for a cookie.
/// </summary>
internal sealed class FormGuard(RequestDelegate next, IAntiforgery antiforgery)
{
    public async Task InvokeAsync(HttpContext context)
    {
        bool changes = !(HttpMethods.IsGet(context.Request.Method) || HttpMethods.IsHead(context.Request.Method) || HttpMethods.IsOptions(context.Request.Method));
        if (changes && context.Request.Path.StartsWithSegments("/api", StringComparison.OrdinalIgnoreCase) && context.User.Identity?.AuthenticationType == SessionDoor.Scheme)
        {
            context.Items[NeedsToken] = true;
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
            return;
        }

        if (!changes || context.GetEndpoint() is null || context.Request.Path.StartsWithSegments("/api", StringComparison.OrdinalIgnoreCase))
        {
            await next(context);
            return;
        }

        string site = context.Request.Headers["Sec-Fetch-Site"].ToString();
        if (site is not ("" or "same-origin" or "none") || !context.Request.HasFormContentType || !await antiforgery.IsRequestValidAsync(context))
        {
            context.Items[Refused] = true;
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
            return;
        }

        await next(context);
    }

    /// <summary>Marks a request refused here, so that the reader is told how to mend it.</summary>
    public static readonly object Refused = new();

    /// <summary>Marks a call that would change something and shows only a session, which any page of elsewhere could borrow.</summary>
    public static readonly object NeedsToken = new();
}
