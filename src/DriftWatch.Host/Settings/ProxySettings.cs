using System.Net;

namespace DriftWatch.Host.Settings;

/// <summary>A reverse proxy before the pages. It gives the caller's address and scheme in X-Forwarded-For and X-Forwarded-Proto.</summary>
public sealed record ProxySettings
{
    /// <summary>IP addresses of the proxies; nobody else is answered, and only their word on the caller is taken.</summary>
    public IReadOnlyList<string> TrustedProxies { get; init; } = [];

    internal IEnumerable<IPAddress> Addresses() => TrustedProxies.Select(IPAddress.Parse);

    internal IEnumerable<string> Faults()
    {
        if (TrustedProxies.Count == 0)
        {
            yield return "web.behindProxy.trustedProxies is empty: name the IP addresses of the proxies.";
        }

        foreach (string odd in TrustedProxies.Where(proxy => !IPAddress.TryParse(proxy, out _)))
        {
            yield return $"web.behindProxy.trustedProxies holds '{odd}': give an IP address.";
        }
    }
}
