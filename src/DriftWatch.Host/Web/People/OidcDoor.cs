using System.Security.Claims;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.People;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Authentication.OpenIdConnect;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.IdentityModel.Protocols.OpenIdConnect;

namespace DriftWatch.Host.Web.People;

/// <summary>Sign-in by an OpenID Connect provider: authorisation code with PKCE, role by a claim, an account here for each person vouched for.</summary>
internal static class OidcDoor
{
    public const string Scheme = OpenIdConnectDefaults.AuthenticationScheme;

    /// <summary>Where the provider sends people back to.</summary>
    public const string Back = "/sign-in/vouched";

    private const int LongestName = 64;

    public static void Shape(OpenIdConnectOptions options, WebSettings settings)
    {
        OidcSettings oidc = settings.Oidc!;
        options.SignInScheme = SessionDoor.Scheme;
        options.Authority = oidc.Authority;
        options.RequireHttpsMetadata = !new Uri(oidc.Authority).IsLoopback;
        options.ClientId = oidc.ClientId;
        options.ClientSecret = oidc.ClientSecret?.Read();
        options.ResponseType = OpenIdConnectResponseType.Code;
        options.ResponseMode = OpenIdConnectResponseMode.Query;
        options.UsePkce = true;
        options.SaveTokens = false;
        options.MapInboundClaims = false;
        options.GetClaimsFromUserInfoEndpoint = true;
        options.CallbackPath = Back;
        options.Scope.Clear();
        foreach (string scope in oidc.Scopes.Prepend("profile").Prepend("openid").Distinct())
        {
            options.Scope.Add(scope);
        }

        foreach (string claim in (string[])[oidc.RoleClaim, "name", "preferred_username"])
        {
            options.ClaimActions.MapJsonKey(claim, claim);
        }

        foreach (CookieBuilder cookie in (CookieBuilder[])[options.NonceCookie, options.CorrelationCookie])
        {
            cookie.SameSite = SameSiteMode.Lax;
            cookie.HttpOnly = true;
            cookie.SecurePolicy = settings.IsSecure ? CookieSecurePolicy.Always : CookieSecurePolicy.SameAsRequest;
        }

        options.Events.OnTicketReceived = context => TakeIn(context, oidc);
        options.Events.OnRemoteFailure = context =>
        {
            Note(context.HttpContext, "sign-in failed", context.Failure?.Message ?? "");
            context.HandleResponse();
            context.Response.Redirect("/sign-in?refused=provider");
            return Task.CompletedTask;
        };
    }

    private static Task TakeIn(TicketReceivedContext context, OidcSettings oidc)
    {
        ClaimsPrincipal vouched = context.Principal!;
        string subject = vouched.FindFirstValue("sub") ?? "";
        string issuer = vouched.FindFirstValue("iss") ?? oidc.Authority;
        string name = new([.. (vouched.FindFirstValue("name") ?? vouched.FindFirstValue("preferred_username") ?? subject).Where(letter => !char.IsControl(letter)).Take(LongestName)]);
        if (subject.Length == 0 || oidc.RoleOf(vouched.FindAll(oidc.RoleClaim).Select(claim => claim.Value)) is not { } role)
        {
            Note(context.HttpContext, "sign-in refused", $"{name} has no value of the claim '{oidc.RoleClaim}' that gives a role here.");
            return Refuse("role");
        }

        Desk desk = context.HttpContext.RequestServices.GetRequiredService<Desk>();
        Account account = desk.Store.TakeIn(issuer, subject, name, role, desk.Time.GetUtcNow());
        if (account.Disabled)
        {
            Note(context.HttpContext, "sign-in refused", $"{name} is disabled.");
            return Refuse("role");
        }

        context.Principal = SessionDoor.Open(context.HttpContext, account, $"provider {issuer}");
        context.Properties!.IsPersistent = false;
        context.Properties.ExpiresUtc = null;
        context.Properties.IssuedUtc = null;
        return Task.CompletedTask;

        Task Refuse(string why)
        {
            context.HandleResponse();
            context.Response.Redirect($"/sign-in?refused={why}");
            return Task.CompletedTask;
        }
    }

    private static void Note(HttpContext context, string what, string why) =>
        context.RequestServices.GetRequiredService<Desk>().Store.Record(context.Entry(what, after: why));
}
