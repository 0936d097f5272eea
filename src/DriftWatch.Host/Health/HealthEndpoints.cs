using System.Net;
using DriftWatch.Host.Web;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Host.Web.Readers;
using Microsoft.AspNetCore.Authorization;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Health;

/// <summary>The health of the service over HTTP: for what starts it again, for what watches it, and for people.</summary>
internal static class HealthEndpoints
{
    /// <summary>The parts are looked at every second. A look that does not end, as on a disk that hangs, would leave all of them as they were.</summary>
    private static readonly TimeSpan LongestLook = TimeSpan.FromSeconds(60);

    public static void MapHealth(this IEndpointRouteBuilder routes)
    {
        RouteGroupBuilder health = routes.MapGroup("").ExcludeFromDescription();
        health.MapGet("/health/live", () => TypedResults.Text("alive")).AllowAnonymous();
        health.MapGet("/health/ready", (Desk desk) => WhyNotReady(desk.Health) is { } why
            ? TypedResults.Text("not ready: " + why, statusCode: StatusCodes.Status503ServiceUnavailable)
            : TypedResults.Text("ready")).AllowAnonymous();
        health.MapGet("/health", (Desk desk) => TypedResults.Json(new HealthReport(StateOf(desk.Health), desk.Health?.Parts ?? []))).RequireAuthorization(FromHereOrSignedIn);
        health.MapGet("/metrics", (Desk desk) => TypedResults.Text(desk.Metrics(), PrometheusText.ContentType)).RequireAuthorization(FromHereOrSignedIn);
        health.MapGet("/service", (HttpContext context, Desk desk) => new RazorComponentResult(typeof(ServicePage), new Dictionary<string, object?>
        {
            ["Desk"] = desk,
            ["Format"] = ReaderFormat.Of(context.Request, desk.Unit),
            ["Here"] = context.Request.Path.ToString(),
            ["Parts"] = desk.Health?.Parts,
            ["Hangs"] = WhyOutOfDate(desk.Health),
        }));
    }

    /// <summary>Why the service is not ready; null when it is.</summary>
    internal static string? WhyNotReady(ServiceHealth? health) => health switch
    {
        null => "no service runs behind these pages",
        _ when WhyOutOfDate(health) is { } why => why,
        { State: HealthState.Failed } => string.Join(", ", health.Parts.Where(part => part.State == HealthState.Failed).Select(part => part.Part)),
        _ => null,
    };

    /// <summary>Why what the parts say is no longer to be relied on; null while it is.</summary>
    private static string? WhyOutOfDate(ServiceHealth? health) => health?.SinceLook is { } since && since > LongestLook
        ? FormattableString.Invariant($"the parts were last looked at {since.TotalSeconds:0} s ago, as when the disk of the store hangs")
        : null;

    private static HealthState? StateOf(ServiceHealth? health) => WhyOutOfDate(health) is null ? health?.State : HealthState.Failed;

    /// <summary>A program that watches the service from its own machine cannot fill in a form; everybody signed in may read.</summary>
    private static void FromHereOrSignedIn(AuthorizationPolicyBuilder policy) => policy.RequireAssertion(context =>
        context.User.Identity?.IsAuthenticated == true
        || (context.Resource is HttpContext { Connection.RemoteIpAddress: { } from } && IPAddress.IsLoopback(from)));
}
