using DriftWatch.Delivery.Security;
using DriftWatch.Plant.People;

namespace DriftWatch.Host.Settings;

/// <summary>An OpenID Connect provider that vouches for people. Authorisation code with PKCE; it sends people back to <c>/sign-in/vouched</c>.</summary>
public sealed record OidcSettings
{
    /// <summary>The provider's issuer, an https address; http only on this machine.</summary>
    public required string Authority { get; init; }

    /// <summary>What the provider knows this service by.</summary>
    public required string ClientId { get; init; }

    /// <summary>Where the client's secret stands; none for a public client.</summary>
    public SecretSource? ClientSecret { get; init; }

    /// <summary>What is asked for beside <c>openid profile</c>; default nothing.</summary>
    public IReadOnlyList<string> Scopes { get; init; } = [];

    /// <summary>The claim that says what someone may do; default <c>roles</c>.</summary>
    public string RoleClaim { get; init; } = "roles";

    /// <summary>Role by value of the claim. Of several the highest counts; whoever has none is not let in.</summary>
    public IReadOnlyDictionary<string, string> Roles { get; init; } = new Dictionary<string, string>();

    /// <summary>The role of someone with these values of the claim; null for none.</summary>
    internal Role? RoleOf(IEnumerable<string> values) =>
        values.Select(value => Roles.TryGetValue(value, out string? name) && TryRole(name, out Role role) ? role : (Role?)null).Max();

    internal IEnumerable<string> Faults()
    {
        IEnumerable<string> address = WebAddress.Faults(
            "web.oidc.authority", Authority, uri => uri.Scheme == Uri.UriSchemeHttps || (uri.Scheme == Uri.UriSchemeHttp && uri.IsLoopback),
            "the https address of the provider's issuer", "the client's secret is named by clientSecret");
        foreach (string fault in address)
        {
            yield return fault;
        }

        if (string.IsNullOrWhiteSpace(ClientId))
        {
            yield return "web.oidc.clientId is empty.";
        }

        if (Roles.Count == 0)
        {
            yield return $"web.oidc.roles is empty: say which values of the claim '{RoleClaim}' make someone a viewer, technician, engineer or administrator.";
        }

        foreach ((string value, string name) in Roles.Where(pair => !TryRole(pair.Value, out _)))
        {
            yield return $"web.oidc.roles['{value}'] is '{name}': give viewer, technician, engineer or administrator.";
        }
    }

    private static bool TryRole(string name, out Role role) => Enum.TryParse(name, ignoreCase: true, out role) && Enum.IsDefined(role) && char.IsLetter(name[0]);
}
