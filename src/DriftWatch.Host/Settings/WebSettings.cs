using System.Net;

namespace DriftWatch.Host.Settings;

/// <summary>Where the pages and their interface for programs listen.</summary>
public sealed record WebSettings
{
    /// <summary>Address to listen on; only this machine's own: 127.0.0.1 (default), ::1 or localhost.</summary>
    public string Address { get; init; } = "127.0.0.1";

    /// <summary>Port, 1 to 65535, or 0 for any free one; default 8085.</summary>
    public int Port { get; init; } = 8085;

    /// <summary>The address as the listener takes it; null when it is not this machine's own.</summary>
    internal IPAddress? Loopback()
    {
        if (string.Equals(Address, "localhost", StringComparison.OrdinalIgnoreCase))
        {
            return IPAddress.Loopback;
        }

        return IPAddress.TryParse(Address, out IPAddress? address) && IPAddress.IsLoopback(address) ? address : null;
    }

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults()
    {
        if (Loopback() is null)
        {
            yield return $"web.address is '{Address}': the pages have no sign-in yet, so they listen on this machine only. Give 127.0.0.1, ::1 or localhost, and reach them from elsewhere through a tunnel that has its own sign-in (ssh -L).";
        }

        if (Port is < 0 or > 65535)
        {
            yield return $"web.port is {Port}: give 1 to 65535, or 0 for any free port.";
        }
    }
}
