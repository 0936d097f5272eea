using System.Globalization;
using DriftWatch.Plant.People;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.People;

/// <summary>Access tokens on the page of the person whose they are.</summary>
internal static class TokenEndpoints
{
    public static void MapTokens(this IEndpointRouteBuilder pages)
    {
        pages.MapPost("/me/tokens", MakeAsync);
        pages.MapPost("/me/tokens/{id}/revoke", Revoke);
    }

    private static async Task<RazorComponentResult> MakeAsync(HttpContext context, Desk desk, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        Person person = context.Person()!;
        if (!PeopleEndpoints.TryRole(form["role"], out Role role) || !int.TryParse(form["days"], NumberStyles.None, CultureInfo.InvariantCulture, out int days))
        {
            return SignInEndpoints.MePage(context, desk, "Choose what the token may do, and for how many days.", StatusCodes.Status400BadRequest);
        }

        (string? objection, AccessToken? token, string secret) = AccessTokens.Make(person, form["name"].ToString().Trim(), role, days, desk.Time.GetUtcNow());
        if (token is null)
        {
            return SignInEndpoints.MePage(context, desk, objection, StatusCodes.Status400BadRequest);
        }

        desk.Store.Add(token, AccessTokens.KeyOf(secret), context.Entry("token made", person.Name, after: AccessTokens.Words(token)));

        // Shown on the answer itself: nowhere else does the secret stand.
        return SignInEndpoints.MePage(context, desk, null, StatusCodes.Status200OK, secret);
    }

    private static IResult Revoke(string id, HttpContext context, Desk desk) =>
        PeopleActs.Revoke(context, desk, context.Person()!, id) ? TypedResults.LocalRedirect("/me") : TypedResults.NotFound();
}
