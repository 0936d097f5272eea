using System.Diagnostics;
using System.Globalization;
using System.Text.Json;

namespace DriftWatch.TestPeers;

/// <summary>A real OpenID Connect provider on a free port of 127.0.0.1, which asks for authorisation code and PKCE. It takes any password.</summary>
public sealed class OidcProvider : IAsyncDisposable
{
    public const string ClientId = "driftwatch-under-test";

    public const string ClientSecret = "a secret of the tests alone";

    private readonly PeerProcess _process;

    private OidcProvider(PeerProcess process, int port)
    {
        _process = process;
        Issuer = string.Create(CultureInfo.InvariantCulture, $"http://127.0.0.1:{port}");
    }

    public string Issuer { get; }

    /// <summary>Starts a provider.</summary>
    /// <param name="redirect">Where it sends people back to.</param>
    /// <param name="groups">Values of the claim <c>groups</c> (scope <c>groups</c>) by the name signed in with.</param>
    public static async Task<OidcProvider> StartAsync(string redirect, IReadOnlyDictionary<string, string[]> groups)
    {
        string folder = Path.Combine(SparkplugLibrary.RepositoryRoot(), "tests", "DriftWatch.TestPeers", "oidc");
        if (!Directory.Exists(Path.Combine(folder, "node_modules")))
        {
            throw new InvalidOperationException($"The OpenID Connect provider is missing; tests/run installs it ('npm ci --ignore-scripts' in {folder}).");
        }

        int port = FreePort.Find();
        PeerProcess process = PeerProcess.Start(new ProcessStartInfo(
            "node",
            [
                Path.Combine(folder, "peer.mjs"), port.ToString(CultureInfo.InvariantCulture),
                JsonSerializer.Serialize(new { clientId = ClientId, clientSecret = ClientSecret, redirect, groups }),
            ]));
        OidcProvider provider = new(process, port);
        _ = await process.SaysAsync(line => line == "running");
        return provider;
    }

    public ValueTask DisposeAsync() => _process.DisposeAsync();
}
