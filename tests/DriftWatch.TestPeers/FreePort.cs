using System.Net;
using System.Net.Sockets;

namespace DriftWatch.TestPeers;

/// <summary>A port of 127.0.0.1 that nobody listens on.</summary>
public static class FreePort
{
    public static int Find()
    {
        using TcpListener listener = new(IPAddress.Loopback, 0);
        listener.Start();
        return ((IPEndPoint)listener.LocalEndpoint).Port;
    }
}
