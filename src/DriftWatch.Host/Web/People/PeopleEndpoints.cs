using System.Globalization;
using System.Text;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.People;

/// <summary>What administrators see and do: people and the audit log.</summary>
internal static class PeopleEndpoints
{
    private const string NoRole = "Choose a role.";

    private const int AuditLinesShown = 50;

    private const int AuditLinesAtOnce = 1000;

    public static void MapPeople(this IEndpointRouteBuilder routes, WebSettings settings)
    {
        RouteGroupBuilder pages = routes.MapGroup("").ExcludeFromDescription().RequireAuthorization(Policies.Administrator);
        pages.MapGet("/audit", Audit);
        pages.MapGet("/audit.csv", AuditTable);
        if (settings.HasSignIn)
        {
            pages.MapGet("/people", People);
            pages.MapPost("/people", AddAsync);
            pages.MapPost("/people/{id}/role", ChangeRoleAsync);
            pages.MapPost("/people/{id}/disable", (string id, HttpContext context, Desk desk, WebSettings settings) => Disable(id, context, desk, settings, true));
            pages.MapPost("/people/{id}/enable", (string id, HttpContext context, Desk desk, WebSettings settings) => Disable(id, context, desk, settings, false));
            pages.MapPost("/people/{id}/password", SetPasswordAsync);
            pages.MapPost("/people/{id}/tokens/{token}/revoke", RevokeToken);
        }
    }

    private static RazorComponentResult People(HttpContext context, Desk desk, WebSettings settings) => PeoplePage(context, desk, settings, null);

    private static RazorComponentResult PeoplePage(HttpContext context, Desk desk, WebSettings settings, string? fault)
    {
        RazorComponentResult page = PageEndpoints.Page<PeoplePage>(context, desk, new()
        {
            ["Accounts"] = desk.Store.Accounts(),
            ["Tokens"] = desk.Store.TokensOf(null),
            ["Fault"] = fault,
            ["Own"] = settings.Oidc is null,
        });
        page.StatusCode = fault is null ? StatusCodes.Status200OK : StatusCodes.Status400BadRequest;
        return page;
    }

    private static async Task<IResult> AddAsync(HttpContext context, Desk desk, WebSettings settings, Passwords passwords, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        return TryRole(form["role"], out Role role)
            ? After(context, desk, settings, PeopleActs.Add(context, desk, settings, passwords, form["name"].ToString(), role, form["password"].ToString()))
            : PeoplePage(context, desk, settings, NoRole);
    }

    private static async Task<IResult> ChangeRoleAsync(string id, HttpContext context, Desk desk, WebSettings settings, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        if (desk.Store.AccountOf(id) is not { } account)
        {
            return TypedResults.NotFound();
        }

        return TryRole(form["role"], out Role role)
            ? After(context, desk, settings, PeopleActs.Change(context, desk, account, role, null))
            : PeoplePage(context, desk, settings, NoRole);
    }

    private static IResult Disable(string id, HttpContext context, Desk desk, WebSettings settings, bool disabled) => desk.Store.AccountOf(id) is { } account
        ? After(context, desk, settings, PeopleActs.Change(context, desk, account, null, disabled))
        : TypedResults.NotFound();

    private static async Task<IResult> SetPasswordAsync(string id, HttpContext context, Desk desk, WebSettings settings, Passwords passwords, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        return desk.Store.AccountOf(id) is { Issuer: "" } account
            ? After(context, desk, settings, PeopleActs.SetPassword(context, desk, passwords, account, form["password"].ToString()))
            : TypedResults.NotFound();
    }

    private static IResult RevokeToken(string id, string token, HttpContext context, Desk desk) =>
        desk.Store.AccountOf(id) is { } account && PeopleActs.Revoke(context, desk, account.Person, token) ? TypedResults.LocalRedirect("/people") : TypedResults.NotFound();

    private static IResult After(HttpContext context, Desk desk, WebSettings settings, PeopleAnswer answer) => answer.Outcome.Kind == WriteOutcomeKind.Done
        ? TypedResults.LocalRedirect("/people")
        : PeoplePage(context, desk, settings, answer.Outcome.Why);

    private static RazorComponentResult Audit(HttpContext context, Desk desk)
    {
        (long before, string search) = AuditQuery(context);
        IReadOnlyList<AuditLine> lines = desk.Store.AuditBefore(before, AuditLinesShown + 1, search: search);
        return PageEndpoints.Page<AuditPage>(context, desk, new()
        {
            ["Lines"] = lines.Take(AuditLinesShown).ToList(),
            ["More"] = lines.Count > AuditLinesShown,
            ["Search"] = search,
            ["First"] = before == long.MaxValue,
        });
    }

    private static PushStreamHttpResult AuditTable(HttpContext context, Desk desk)
    {
        (_, string search) = AuditQuery(context);
        desk.Store.Record(context.Entry("audit log saved", after: search));
        return TypedResults.Stream(
            async stream =>
            {
                await using StreamWriter writer = new(stream, new UTF8Encoding(false), leaveOpen: true);
                await writer.WriteAsync("number,at,person id,person,from,what,about,before,after\r\n");
                long before = long.MaxValue;
                while (desk.Store.AuditBefore(before, AuditLinesAtOnce, search: search) is { Count: > 0 } lines)
                {
                    foreach (AuditLine line in lines)
                    {
                        await writer.WriteAsync(Csv(line));
                    }

                    before = lines[^1].Number;
                }
            },
            "text/csv; charset=utf-8",
            "audit.csv");
    }

    private static string Csv(AuditLine line)
    {
        AuditEntry entry = line.Entry;
        string[] cells =
        [
            line.Number.ToString(CultureInfo.InvariantCulture), entry.At.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.fff'Z'", CultureInfo.InvariantCulture),
            entry.PersonId, entry.PersonName, entry.From, entry.What, entry.About, entry.Before, entry.After,
        ];
        return string.Join(',', cells.Select(Cell)) + "\r\n";

        // A spreadsheet would take text that begins so for a formula.
        static string Cell(string text)
        {
            text = text.Length > 0 && text[0] is '=' or '+' or '-' or '@' or '\t' or '\r' ? "'" + text : text;
            return text.AsSpan().IndexOfAny(",\"\r\n") < 0 ? text : $"\"{text.Replace("\"", "\"\"", StringComparison.Ordinal)}\"";
        }
    }

    private static (long Before, string Search) AuditQuery(HttpContext context)
    {
        string search = context.Request.Query["q"].ToString();
        return (
            long.TryParse(context.Request.Query["before"], NumberStyles.None, CultureInfo.InvariantCulture, out long before) ? before : long.MaxValue,
            search.Length <= 200 ? search : search[..200]);
    }

    /// <summary>The role of a name; not of a number.</summary>
    public static bool TryRole(string? text, out Role role) => Enum.TryParse(text, ignoreCase: true, out role) && Enum.IsDefined(role) && char.IsLetter(text![0]);
}
