using System.Text.Json;
using System.Text.RegularExpressions;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Host.Web.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Diagnostics;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Web;

/// <summary>Tells what went wrong: programs by problem details (RFC 9457), people by a page.</summary>
internal static partial class Failures
{
    public static Task AnswerAsync(HttpContext context)
    {
        Exception? failure = context.Features.Get<IExceptionHandlerFeature>()?.Error;
        (int status, string title, string detail) = failure switch
        {
            StoreUnavailableException => (StatusCodes.Status503ServiceUnavailable, "The store cannot be read now.", failure.Message),
            BadHttpRequestException bad => (bad.StatusCode, "The request cannot be used.", bad.InnerException is JsonException json ? $"The body does not fit: {Place(json)}{OwnWords().Replace(json.Message, "")}" : bad.Message),
            AntiforgeryValidationException unread => (UnreadStatus(unread), "The request cannot be used.", $"The form cannot be read: {unread.InnerException?.Message ?? unread.Message}"),
            not null => (StatusCodes.Status500InternalServerError, "Something failed that should not have.", "The log of the service says what."),
            null when context.Items.ContainsKey(FormGuard.Refused) =>
                (StatusCodes.Status403Forbidden, "The form is not taken.", "It did not come from a page of this service, or the page is too old: open the page anew and send it again."),
            null when context.Items.ContainsKey(FormGuard.NeedsToken) =>
                (StatusCodes.Status403Forbidden, "A session does not do here.", "What changes something through the interface for programs takes an access token: make one on your own page and give it in the header Authorization: Bearer TOKEN."),
            null => Plain(context),
        };
        context.Response.StatusCode = status;
        if (status == StatusCodes.Status403Forbidden)
        {
            HostLog.Refused(
                context.RequestServices.GetRequiredService<ILoggerFactory>().CreateLogger(typeof(Failures)),
                context.Person()?.Name ?? "nobody signed in", context.From(), context.Request.Method, context.Request.Path);
        }

        return ForPrograms.Asked(context)
            ? TypedResults.Problem(detail, context.Request.Path, status, title).ExecuteAsync(context)
            : Page((Desk)context.RequestServices.GetService(typeof(Desk))!, status, title, detail).ExecuteAsync(context);
    }

    /// <summary>Whether a failure is of the request and its sender, not of the service.</summary>
    public static bool IsTheSenders(Exception failure) => failure is BadHttpRequestException or AntiforgeryValidationException;

    /// <summary>Refuses before anything else is known of the caller: by problem details to programs, by a sentence to a browser.</summary>
    public static Task RefuseAsync(HttpContext context, int status, string title, string why)
    {
        context.Response.StatusCode = status;
        return ForPrograms.Asked(context)
            ? TypedResults.Problem(why, context.Request.Path, status, title).ExecuteAsync(context)
            : context.Response.WriteAsync(why);
    }

    /// <summary>A page that says what was not done and why.</summary>
    public static RazorComponentResult<FailurePage> Page(Desk desk, int status, string heading, string detail, string back = "/") =>
        new(new Dictionary<string, object?> { ["Heading"] = heading, ["Detail"] = detail, ["Desk"] = desk, ["Back"] = back })
        {
            StatusCode = status,
        };

    /// <summary>The form guard reads a form first, to find its token.</summary>
    private static int UnreadStatus(AntiforgeryValidationException unread) => unread.InnerException is BadHttpRequestException bad ? bad.StatusCode : StatusCodes.Status400BadRequest;

    /// <summary>Where in the body it is, where the message does not say it itself.</summary>
    private static string Place(JsonException json) =>
        json.Path is { Length: > 0 } path && !json.Message.Contains("Path: ", StringComparison.Ordinal) ? $"at {path}: " : "";

    /// <summary>Names of our types, which say nothing to whoever sends a body.</summary>
    [GeneratedRegex(@" contained in type '[^']*'| to DriftWatch\.[\w.]+")]
    private static partial Regex OwnWords();

    private static (int Status, string Title, string Detail) Plain(HttpContext context) => context.Response.StatusCode switch
    {
        int status and StatusCodes.Status401Unauthorized => (status, "Sign in first.", "Give an access token of this service in the header Authorization: Bearer TOKEN."),
        int status and StatusCodes.Status403Forbidden => (status, "You may not do this.", context.Person() is { } person
            ? $"Your role is {person.Role.ToString().ToLowerInvariant()}; this needs a higher one. Your administrator gives it."
            : "There is no sign-in here, so the pages can only be read: give web.signIn in the settings to change things."),
        int status and StatusCodes.Status404NotFound => (status, "Nothing is here.", "The address names no page, vessel or window that is known."),
        int status and StatusCodes.Status405MethodNotAllowed => (status, "That cannot be done here.", "The header Allow says what can."),
        int status and StatusCodes.Status429TooManyRequests => (status, "Too many requests.", "Wait as many seconds as Retry-After says, then go on."),
        int status => (status, "The request cannot be used.", $"Status {status}."),
    };
}
