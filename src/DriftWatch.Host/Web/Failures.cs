using DriftWatch.Host.Web.Pages;
using DriftWatch.Host.Web.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Diagnostics;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;

namespace DriftWatch.Host.Web;

/// <summary>Tells what went wrong: programs by problem details (RFC 9457), people by a page.</summary>
internal static class Failures
{
    public static Task AnswerAsync(HttpContext context)
    {
        Exception? failure = context.Features.Get<IExceptionHandlerFeature>()?.Error;
        (int status, string title, string detail) = failure switch
        {
            StoreUnavailableException => (StatusCodes.Status503ServiceUnavailable, "The store cannot be read now.", failure.Message),
            BadHttpRequestException bad => (bad.StatusCode, "The request cannot be used.", bad.Message),
            not null => (StatusCodes.Status500InternalServerError, "Something failed that should not have.", "The log of the service says what."),
            null when context.Items.ContainsKey(FormGuard.Refused) =>
                (StatusCodes.Status403Forbidden, "The form is not taken.", "It did not come from a page of this service, or the page is too old: open the page anew and send it again."),
            null => Plain(context),
        };
        context.Response.StatusCode = status;
        return context.Request.Path.StartsWithSegments("/api", StringComparison.OrdinalIgnoreCase)
            ? TypedResults.Problem(detail, context.Request.Path, status, title).ExecuteAsync(context)
            : new RazorComponentResult<FailurePage>(new Dictionary<string, object?> { ["Status"] = status, ["Heading"] = title, ["Detail"] = detail, ["Desk"] = context.RequestServices.GetService(typeof(Desk)) })
            {
                StatusCode = status,
            }.ExecuteAsync(context);
    }

    private static (int Status, string Title, string Detail) Plain(HttpContext context) => context.Response.StatusCode switch
    {
        int status and StatusCodes.Status401Unauthorized => (status, "Sign in first.", "Give an access token of this service in the header Authorization: Bearer TOKEN."),
        int status and StatusCodes.Status403Forbidden => (status, "You may not do this.", context.Person() is { } person
            ? $"Your role is {person.Role.ToString().ToLowerInvariant()}; this needs a higher one. Your administrator gives it."
            : "There is no sign-in here, so the pages can only be read: give web.signIn in the settings to change things."),
        int status and StatusCodes.Status404NotFound => (status, "Nothing is here.", "The address names no page, vessel or window that is known."),
        int status and StatusCodes.Status405MethodNotAllowed => (status, "It can only be read.", "Ask with GET."),
        int status => (status, "The request cannot be used.", $"Status {status}."),
    };
}
