using System.Security.Claims;
using System.Security.Cryptography;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.Cookies;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;

namespace DriftWatch.Host.Web.People;

/// <summary>
/// Sessions. The cookie holds a secret of 256 random bits, sealed; the store holds its digest, so that a session ends when
/// the store says so: on signing out, on a new password, when the person is disabled or gets another role.
/// </summary>
internal static class SessionDoor
{
    public const string Scheme = CookieAuthenticationDefaults.AuthenticationScheme;

    private const string SecretClaim = "session";
    private const string MustChangeClaim = "must-change";

    /// <summary>The use of a session is written down at most this often.</summary>
    private static readonly TimeSpan SeenEvery = TimeSpan.FromMinutes(1);

    /// <summary>Name of a cookie: with TLS one that no other host may set and that never leaves TLS.</summary>
    public static string CookieName(WebSettings settings, string name) => settings.IsSecure ? "__Host-" + name : name;

    public static void Shape(CookieAuthenticationOptions options, WebSettings settings)
    {
        options.Cookie.Name = CookieName(settings, "driftwatch-session");
        options.Cookie.HttpOnly = true;
        options.Cookie.Path = "/";

        // Lax, so that a link in a job's mail finds its reader signed in; what changes anything is a form with a token.
        options.Cookie.SameSite = SameSiteMode.Lax;
        options.Cookie.SecurePolicy = settings.IsSecure ? CookieSecurePolicy.Always : CookieSecurePolicy.SameAsRequest;
        options.ExpireTimeSpan = TimeSpan.FromHours(settings.SessionHours);
        options.SlidingExpiration = false;
        options.Events.OnValidatePrincipal = context => ValidateAsync(context, settings);
        options.Events.OnRedirectToLogin = context => AskAsync(context, settings);
        options.Events.OnRedirectToAccessDenied = context =>
        {
            context.Response.StatusCode = StatusCodes.Status403Forbidden;
            return Task.CompletedTask;
        };
    }

    /// <summary>Opens a session for someone whose identity is proven, in place of the one that the browser had.</summary>
    /// <returns>What the cookie is to hold.</returns>
    public static ClaimsPrincipal Open(HttpContext context, Account account, string how)
    {
        Desk desk = context.RequestServices.GetRequiredService<Desk>();
        WebSettings settings = context.RequestServices.GetRequiredService<WebSettings>();
        if (SecretOf(context.User) is { } old)
        {
            desk.Store.Close(KeyOf(old), context.Entry("signed in anew"));
        }

        string secret = Convert.ToHexStringLower(RandomNumberGenerator.GetBytes(32));
        desk.Store.Open(
            KeyOf(secret), account.Person.Id, TimeSpan.FromHours(settings.SessionHours),
            new AuditEntry(desk.Time.GetUtcNow(), account.Person.Id, account.Person.Name, context.From(), "signed in", After: how));
        return Principal(account, secret);
    }

    /// <summary>Ends the session of a request.</summary>
    public static void Close(HttpContext context)
    {
        if (SecretOf(context.User) is { } secret)
        {
            context.RequestServices.GetRequiredService<Desk>().Store.Close(KeyOf(secret), context.Entry("signed out"));
        }
    }

    /// <summary>Whether the person has to choose a password of their own before anything else.</summary>
    public static bool MustChange(HttpContext context) => context.User.HasClaim(MustChangeClaim, "yes");

    private static string KeyOf(string secret) => Convert.ToHexStringLower(SHA256.HashData(System.Text.Encoding.ASCII.GetBytes(secret)));

    private static string? SecretOf(ClaimsPrincipal user) => user.FindFirstValue(SecretClaim);

    private static ClaimsPrincipal Principal(Account account, string secret)
    {
        ClaimsIdentity identity = RequestPerson.Identity(account.Person, Scheme);
        identity.AddClaim(new Claim(SecretClaim, secret));
        if (account.MustChange)
        {
            identity.AddClaim(new Claim(MustChangeClaim, "yes"));
        }

        return new ClaimsPrincipal(identity);
    }

    private static async Task ValidateAsync(CookieValidatePrincipalContext context, WebSettings settings)
    {
        Desk desk = context.HttpContext.RequestServices.GetRequiredService<Desk>();
        DateTimeOffset now = desk.Time.GetUtcNow();
        if (context.Principal is { } principal && SecretOf(principal) is { } secret
            && desk.Store.SessionOf(KeyOf(secret)) is { Account.Disabled: false } session
            && now - session.Opened < TimeSpan.FromHours(settings.SessionHours)
            && now - session.Seen < TimeSpan.FromMinutes(settings.IdleMinutes))
        {
            if (now - session.Seen >= SeenEvery)
            {
                NoteUse(desk.Store, KeyOf(secret), now);
            }

            // Name and role as they are now, not as they were on signing in.
            context.ReplacePrincipal(Principal(session.Account, secret));
            return;
        }

        context.RejectPrincipal();
        await context.HttpContext.SignOutAsync(Scheme);
    }

    private static void NoteUse(PlantStore store, string key, DateTimeOffset now)
    {
        try
        {
            store.Seen(key, now);
        }
        catch (StoreUnavailableException)
        {
            // A full disk must not keep people from reading; the session only seems idle for longer.
        }
    }

    private static Task AskAsync(RedirectContext<CookieAuthenticationOptions> context, WebSettings settings)
    {
        HttpResponse response = context.Response;
        if (context.Request.Path.StartsWithSegments("/api", StringComparison.OrdinalIgnoreCase))
        {
            response.StatusCode = settings.HasSignIn ? StatusCodes.Status401Unauthorized : StatusCodes.Status403Forbidden;
            response.Headers.WWWAuthenticate = "Bearer";
        }
        else if (!settings.HasSignIn)
        {
            response.StatusCode = StatusCodes.Status403Forbidden;
        }
        else
        {
            string back = HttpMethods.IsGet(context.Request.Method) ? context.Request.Path + context.Request.QueryString : "/";
            response.Redirect("/sign-in" + QueryString.Create("back", back));
        }

        return Task.CompletedTask;
    }
}
