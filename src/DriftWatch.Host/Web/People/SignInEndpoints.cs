using System.Globalization;
using DriftWatch.Host.Health;
using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Web.People;

/// <summary>Signing in and out, and what everybody sees of themselves.</summary>
internal static class SignInEndpoints
{
    /// <summary>Hashing is meant to be slow: not more at once than leaves the service its processors.</summary>
    private static readonly SemaphoreSlim Hashing = new(2);

    public static void MapSignIn(this IEndpointRouteBuilder routes, WebSettings settings)
    {
        if (!settings.HasSignIn)
        {
            return;
        }

        RouteGroupBuilder pages = routes.MapGroup("").ExcludeFromDescription();
        pages.MapGet("/sign-in", Show).AllowAnonymous();
        pages.MapPost("/sign-out", (Delegate)SignOutAsync).AllowAnonymous();
        pages.MapGet("/me", Me);
        pages.MapPost("/me/sign-out-everywhere", SignOutEverywhereAsync);
        pages.MapTokens();
        if (settings.Oidc is not null)
        {
            pages.MapGet("/sign-in/provider", AskProviderAsync).AllowAnonymous();
            return;
        }

        pages.MapPost("/sign-in", SignInAsync).AllowAnonymous();
        pages.MapPost("/me/password", ChangePasswordAsync);
    }

    /// <summary>An address of ours to go back to; the first page where the one given is of elsewhere.</summary>
    public static string Ours(string? back) =>
        back is { Length: > 0 and <= 2000 } && back[0] == '/' && (back.Length == 1 || back[1] is not ('/' or '\\')) && !back.Any(char.IsControl) ? back : "/";

    private static RazorComponentResult Show(HttpContext context, Desk desk, WebSettings settings) => Form(
        context, desk, settings, Ours(context.Request.Query["back"]), "",
        context.Request.Query["refused"].ToString() switch
        {
            "" => null,
            "role" => "The provider knows you, but you have no role here. Ask your administrator for one.",
            _ => "The provider did not vouch for you. Try again.",
        },
        StatusCodes.Status200OK);

    private static RazorComponentResult Form(HttpContext context, Desk desk, WebSettings settings, string back, string name, string? fault, int status)
    {
        RazorComponentResult page = PageEndpoints.Page<SignInPage>(context, desk, new()
        {
            ["Back"] = back,
            ["Name"] = name,
            ["Fault"] = fault,
            ["ByProvider"] = settings.Oidc is not null,
        });
        page.StatusCode = status;
        return page;
    }

    private static async Task<IResult> SignInAsync(HttpContext context, Desk desk, WebSettings settings, SignInLimiter limiter, Passwords passwords, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        string name = form["name"].ToString();
        string password = form["password"].ToString();
        string back = Ours(form["back"]);
        if (limiter.Begin(name, context.From()) is { } wait)
        {
            context.Response.Headers.RetryAfter = Math.Ceiling(wait.TotalSeconds).ToString(CultureInfo.InvariantCulture);
            return Form(
                context, desk, settings, back, name,
                $"Too many failed sign-ins. Wait {Math.Ceiling(wait.TotalMinutes).ToString(CultureInfo.InvariantCulture)} min, then try again.",
                StatusCodes.Status429TooManyRequests);
        }

        Account? account = desk.Store.AccountNamed(name);
        (bool right, bool outdated) = await CheckAsync(passwords, account, password, stop);
        if (!right || account is null or { Disabled: true })
        {

            // What was tried is written down only where it is a known name: some people type their password into the wrong field.
            desk.Store.Record(context.Entry("sign-in failed", account?.Person.Name ?? "", after: account is { Disabled: true } ? "disabled" : account is null ? "unknown name" : "wrong password"));
            return Form(context, desk, settings, back, name, "Name or password is wrong.", StatusCodes.Status400BadRequest);
        }

        limiter.Succeeded(name, context.From());
        if (outdated)
        {
            desk.Store.Rehash(account.Person.Id, passwords.Hash(password));
        }

        await context.SignInAsync(SessionDoor.Scheme, SessionDoor.Open(context, account, "password"));
        return TypedResults.LocalRedirect(account.MustChange ? "/me" : back);
    }

    private static async Task<IResult> AskProviderAsync(HttpContext context, Desk desk, WebSettings settings)
    {
        string back = Ours(context.Request.Query["back"]);
        try
        {
            await context.ChallengeAsync(OidcDoor.Scheme, new AuthenticationProperties { RedirectUri = back });
            desk.Health?.Settle(ServicePart.SignIn, Matter.Provider);
            return TypedResults.Empty;
        }
        catch (Exception failure) when (failure is InvalidOperationException or HttpRequestException or IOException)
        {
            // What the provider says of itself is read at the first sign-in.
            HostLog.ProviderAway(context.RequestServices.GetRequiredService<ILoggerFactory>().CreateLogger(typeof(SignInEndpoints)), failure, settings.Oidc!.Authority, failure.Message);
            desk.Health?.Raise(ServicePart.SignIn, new Complaint(
                Matter.Provider, HealthState.Degraded, $"The OpenID Connect provider {settings.Oidc.Authority} does not answer: {failure.Message}",
                "Nobody can sign in anew until it does, and whoever has signed in stays so; it is asked again at the next sign-in. Check web.oidc.authority and the way there."));
            return Form(context, desk, settings, back, "", "The sign-in of the plant does not answer now. Try again in a while, or tell your administrator.", StatusCodes.Status503ServiceUnavailable);
        }
    }

    private static async Task<IResult> SignOutAsync(HttpContext context)
    {
        SessionDoor.Close(context);
        await context.SignOutAsync(SessionDoor.Scheme);
        return TypedResults.LocalRedirect("/sign-in");
    }

    private static async Task<IResult> SignOutEverywhereAsync(HttpContext context, Desk desk)
    {
        desk.Store.CloseAll(context.Person()!.Id, context.Entry("signed out everywhere"));
        await context.SignOutAsync(SessionDoor.Scheme);
        return TypedResults.LocalRedirect("/sign-in");
    }

    private static RazorComponentResult Me(HttpContext context, Desk desk) => MePage(context, desk, null, StatusCodes.Status200OK);

    /// <summary>What people see of themselves.</summary>
    public static RazorComponentResult MePage(HttpContext context, Desk desk, string? fault, int status, string? newToken = null)
    {
        Person person = context.Person()!;
        RazorComponentResult page = PageEndpoints.Page<MePage>(context, desk, new()
        {
            ["Account"] = desk.Store.AccountOf(person.Id),
            ["Sessions"] = desk.Store.SessionsOf(person.Id),
            ["Tokens"] = desk.Store.TokensOf(person.Id).Where(token => token.Revoked is null).ToList(),
            ["NewToken"] = newToken,
            ["Fault"] = fault,
            ["Done"] = context.Request.Query["done"] == "password",
        });
        page.StatusCode = status;
        return page;
    }

    private static async Task<IResult> ChangePasswordAsync(HttpContext context, Desk desk, SignInLimiter limiter, Passwords passwords, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        Account account = desk.Store.AccountOf(context.Person()!.Id)!;
        string name = account.Person.Name;
        if (limiter.Begin(name, context.From()) is not null)
        {
            return MePage(context, desk, "Too many wrong passwords. Wait a quarter of an hour, then try again.", StatusCodes.Status429TooManyRequests);
        }

        if (!(await CheckAsync(passwords, account, form["current"].ToString(), stop)).Right)
        {
            desk.Store.Record(context.Entry("password not changed", name, after: "wrong password"));
            return MePage(context, desk, "The present password is wrong.", StatusCodes.Status400BadRequest);
        }

        limiter.Succeeded(name, context.From());
        string password = form["new"].ToString();
        string? fault = password != form["again"].ToString() ? "The new password and its repetition differ."
            : password == form["current"].ToString() ? "The new password is the present one."
            : Passwords.Objection(password, name);
        if (fault is not null)
        {
            return MePage(context, desk, fault, StatusCodes.Status400BadRequest);
        }

        string hash = passwords.Hash(password);
        WriteOutcome outcome = desk.Store.Change(
            account.Person.Id, before => before with { PasswordHash = hash, MustChange = false }, context.Entry("password changed", name),
            before => before.PasswordHash == account.PasswordHash);
        if (outcome.Kind != WriteOutcomeKind.Done)
        {
            return MePage(context, desk, outcome.Why, StatusCodes.Status400BadRequest);
        }

        // All sessions have ended with the old password; this one goes on under a new secret.
        await context.SignInAsync(SessionDoor.Scheme, SessionDoor.Open(context, desk.Store.AccountOf(account.Person.Id)!, "new password"));
        return TypedResults.LocalRedirect("/me?done=password");
    }

    private static async Task<(bool Right, bool Outdated)> CheckAsync(Passwords passwords, Account? account, string password, CancellationToken stop)
    {
        if (password.Length > Passwords.Longest)
        {
            password = "";
        }

        await Hashing.WaitAsync(stop);
        try
        {
            return await Task.Run(() => (passwords.IsOf(account, password, out bool outdated), outdated), stop);
        }
        finally
        {
            _ = Hashing.Release();
        }
    }
}
