using System.Collections.Concurrent;
using System.Net;
using System.Net.Sockets;
using System.Security.Cryptography;

namespace DriftWatch.TestPeers;

/// <summary>
/// A port of 127.0.0.1 that nobody listens on and that nobody gets by chance: a test that is slow to use its port, or gives it up
/// for a while, would lose one of those that the system hands to whoever asks for any.
/// </summary>
public static class FreePort
{
    // From memory: Linux hands out 32768 to 60999 (ip_local_port_range), Windows and macOS from 49152.
    private const int First = 26_000;
    private const int End = 32_768;

    private static readonly ConcurrentDictionary<int, bool> Given = [];

    public static int Find()
    {
        int port;
        do
        {
            port = RandomNumberGenerator.GetInt32(First, End);
        }
        while (!Given.TryAdd(port, true) || !IsFree(port));

        return port;
    }

    private static bool IsFree(int port)
    {
        try
        {
            using TcpListener listener = new(IPAddress.Loopback, port);
            listener.Start();
            return true;
        }
        catch (SocketException)
        {
            return false;
        }
    }
}
