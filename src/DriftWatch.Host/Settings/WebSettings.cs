using System.Net;

namespace DriftWatch.Host.Settings;

/// <summary>Where the pages and their interface for programs listen, and who may use them.</summary>
public sealed record WebSettings
{
    /// <summary>
    /// Address to listen on: this machine's own (127.0.0.1, the default, ::1 or localhost), or with a sign-in and TLS any IP
    /// address of this machine, such as 0.0.0.0 for all.
    /// </summary>
    public string Address { get; init; } = "127.0.0.1";

    /// <summary>Port, 1 to 65535, or 0 for any free one; default 8085.</summary>
    public int Port { get; init; } = 8085;

    /// <summary>
    /// Who signs in how: <c>none</c> (default; everybody on this machine reads, nobody changes anything), <c>local</c> (accounts
    /// of the plant's own, see the command <c>people</c>) or <c>oidc</c> (an OpenID Connect provider vouches).
    /// </summary>
    public string SignIn { get; init; } = "none";

    /// <summary>Names under which the pages are asked for, beside this machine's own; needed when <see cref="Address"/> is not.</summary>
    public IReadOnlyList<string> Names { get; init; } = [];

    /// <summary>PEM file of the certificate, with it HTTPS; default none.</summary>
    public string? CertificateFile { get; init; }

    /// <summary>PEM file of its key, where the certificate file does not hold it; default none.</summary>
    public string? KeyFile { get; init; }

    /// <summary>A reverse proxy that speaks TLS for the pages; default none.</summary>
    public ProxySettings? BehindProxy { get; init; }

    /// <summary>The OpenID Connect provider, with <c>"signIn": "oidc"</c>.</summary>
    public OidcSettings? Oidc { get; init; }

    /// <summary>Hours after which everyone signs in anew, 1 to 168; default 12.</summary>
    public int SessionHours { get; init; } = 12;

    /// <summary>Minutes without use after which a session ends, 5 to 1440; default 30.</summary>
    public int IdleMinutes { get; init; } = 30;

    internal bool HasSignIn => SignIn != "none";

    internal bool IsSecure => CertificateFile is not null || BehindProxy is not null;

    /// <summary>The address as the listener takes it; null when it is none.</summary>
    internal IPAddress? Listening()
    {
        if (string.Equals(Address, "localhost", StringComparison.OrdinalIgnoreCase))
        {
            return IPAddress.Loopback;
        }

        return IPAddress.TryParse(Address, out IPAddress? address) ? address : null;
    }

    /// <summary>What it names and cannot be used now, a line each.</summary>
    internal IEnumerable<string> Missing() =>
    [
        .. NamedFile.CertificateFaults("web.", CertificateFile, KeyFile),
        .. Oidc?.ClientSecret?.Faults("web.oidc.clientSecret") ?? [],
    ];

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults()
    {
        bool onlyHere = Listening() is { } address && IPAddress.IsLoopback(address);
        if (Listening() is null)
        {
            yield return $"web.address is '{Address}': give an IP address of this machine, such as 127.0.0.1.";
        }
        else if (!onlyHere && !HasSignIn)
        {
            yield return $"web.address is '{Address}', which other machines reach, and there is no sign-in: give \"signIn\": \"local\" or \"oidc\", or listen on 127.0.0.1.";
        }
        else if (!onlyHere && !IsSecure)
        {
            yield return $"web.address is '{Address}', which other machines reach, and passwords would cross the network in the clear: give certificateFile and keyFile, or behindProxy with the proxies that speak TLS for it.";
        }

        if (!onlyHere && Listening() is not null && Names.Count == 0)
        {
            yield return $"web.address is '{Address}': say in web.names under which host names the pages are asked for.";
        }

        if (Names.FirstOrDefault(name => Uri.CheckHostName(name) == UriHostNameType.Unknown) is { } odd)
        {
            yield return $"web.names holds '{odd}': give host names or IP addresses without scheme and port.";
        }

        if (Port is < 0 or > 65535)
        {
            yield return $"web.port is {Port}: give 1 to 65535, or 0 for any free port.";
        }

        if (SignIn is not ("none" or "local" or "oidc"))
        {
            yield return $"web.signIn is '{SignIn}': give \"none\", \"local\" or \"oidc\".";
        }

        if (SignIn == "oidc" != Oidc is not null)
        {
            yield return "web.oidc and \"signIn\": \"oidc\" belong together: give both or neither.";
        }

        if (KeyFile is not null && CertificateFile is null)
        {
            yield return "web.keyFile needs web.certificateFile.";
        }

        if (CertificateFile is not null && BehindProxy is not null)
        {
            yield return "web.certificateFile and web.behindProxy are both given: either the service speaks TLS or the proxy does.";
        }

        if (SessionHours is < 1 or > 168)
        {
            yield return $"web.sessionHours is {SessionHours}: give 1 to 168.";
        }

        if (IdleMinutes is < 5 or > 1440)
        {
            yield return $"web.idleMinutes is {IdleMinutes}: give 5 to 1440.";
        }

        foreach (string fault in (BehindProxy?.Faults() ?? []).Concat(Oidc?.Faults() ?? []))
        {
            yield return fault;
        }
    }
}
