using System.Security.Claims;
using System.Text.Encodings.Web;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Authentication;
using Microsoft.AspNetCore.Http;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Options;

namespace DriftWatch.Host.Web.People;

/// <summary>Lets programs in that show an access token as a bearer token (RFC 6750).</summary>
internal sealed class TokenDoor(IOptionsMonitor<AuthenticationSchemeOptions> options, ILoggerFactory log, UrlEncoder encoder, Desk desk)
    : AuthenticationHandler<AuthenticationSchemeOptions>(options, log, encoder)
{
    public const string SchemeName = "Token";

    private const string Prefix = "Bearer ";

    private static readonly TimeSpan UsedEvery = TimeSpan.FromHours(1);

    protected override Task<AuthenticateResult> HandleAuthenticateAsync()
    {
        string header = Request.Headers.Authorization.ToString();
        if (!header.StartsWith(Prefix, StringComparison.OrdinalIgnoreCase))
        {
            return Task.FromResult(AuthenticateResult.NoResult());
        }

        DateTimeOffset now = desk.Time.GetUtcNow();
        if (desk.Store.TokenOf(AccessTokens.KeyOf(header[Prefix.Length..].Trim())) is not ({ Revoked: null } token, { Disabled: false } account) || token.Expires <= now)
        {
            return Task.FromResult(AuthenticateResult.Fail("The token is unknown, revoked or past its time, or its owner is let in no more."));
        }

        if (token.LastUsed is not { } used || now - used >= UsedEvery)
        {
            NoteUse(token, now);
        }

        // No more than its owner may now.
        Person person = account.Person with { Role = token.Role < account.Person.Role ? token.Role : account.Person.Role };
        ClaimsPrincipal principal = new(RequestPerson.Identity(person, SchemeName));
        return Task.FromResult(AuthenticateResult.Success(new AuthenticationTicket(principal, SchemeName)));
    }

    protected override Task HandleChallengeAsync(AuthenticationProperties properties)
    {
        Response.StatusCode = StatusCodes.Status401Unauthorized;
        Response.Headers.WWWAuthenticate = "Bearer error=\"invalid_token\"";
        return Task.CompletedTask;
    }

    private void NoteUse(AccessToken token, DateTimeOffset now)
    {
        try
        {
            desk.Store.Used(token.Id, now);
        }
        catch (StoreUnavailableException)
        {
            // A full disk must not keep programs from reading.
        }
    }
}
