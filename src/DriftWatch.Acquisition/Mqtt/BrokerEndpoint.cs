using System.Net;
using System.Net.Sockets;
using System.Security.Authentication;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using System.Text;
using MQTTnet.Certificates;
using MQTTnet.Formatter;
using MQTTnet.Protocol;
using MQTTnet.Server;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>The embedded broker's options in the server library's terms, and its check of who connects.</summary>
internal static class BrokerEndpoint
{
    /// <exception cref="IOException">A certificate cannot be read.</exception>
    /// <exception cref="CryptographicException">A certificate file holds none.</exception>
    public static MqttServerOptions Build(EmbeddedBrokerOptions options)
    {
        bool six = options.Address.AddressFamily == AddressFamily.InterNetworkV6;
        IPAddress four = six ? IPAddress.None : options.Address;
        IPAddress other = six ? options.Address : IPAddress.None;
        MqttServerOptionsBuilder builder = new();
        if (options.Tls is not { } tls)
        {
            return builder.WithDefaultEndpoint()
                .WithDefaultEndpointBoundIPAddress(four)
                .WithDefaultEndpointBoundIPV6Address(other)
                .WithDefaultEndpointPort(options.Port)
                .Build();
        }

        builder.WithoutDefaultEndpoint().WithEncryptedEndpoint()
            .WithEncryptedEndpointBoundIPAddress(four)
            .WithEncryptedEndpointBoundIPV6Address(other)
            .WithEncryptedEndpointPort(options.Port)
            .WithEncryptionSslProtocol(SslProtocols.None); // what the system holds for good
        if (tls.ClientAuthorityFile is { } authorities)
        {
            X509Certificate2Collection trusted = [];
            trusted.ImportFromPemFile(authorities);
            builder.WithClientCertificate((_, certificate, _, _) => IsIssuedBy(trusted, certificate));
        }

        MqttServerOptions built = builder.Build();
        built.TlsEndpointOptions.CertificateProvider = new Shown(new RenewedCertificate(tls.CertificateFile, tls.KeyFile));
        return built;
    }

    /// <summary>Refuses who does not give the name and password, which is read anew for each, and names who gives no id.</summary>
    /// <returns>Why the client is refused; null where it is let in.</returns>
    public static string? WhyRefused(EmbeddedBrokerOptions options, ValidatingConnectionEventArgs args)
    {
        if (options.UserName is { } user
            && !(Same(args.UserName, user) & Same(args.Password, MqttSecret.Read(options.PasswordEnvironmentVariable, options.PasswordFile))))
        {
            args.ReasonCode = MqttConnectReasonCode.BadUserNameOrPassword;
            return "it gave another user name or password than the settings name";
        }

        if (!string.IsNullOrEmpty(args.ClientId))
        {
            return null;
        }

        if (args.ProtocolVersion == MqttProtocolVersion.V500)
        {
            args.AssignedClientIdentifier = ClientNaming.NewId();
            return null;
        }

        args.ReasonCode = MqttConnectReasonCode.ClientIdentifierNotValid;
        return "it gave no client id; give it one, or let it ask for a clean session";
    }

    /// <summary>Compares without telling by its time how much was right.</summary>
    private static bool Same(string? given, string? wanted) => wanted is not null && CryptographicOperations.FixedTimeEquals(
        SHA256.HashData(Encoding.UTF8.GetBytes(given ?? "")), SHA256.HashData(Encoding.UTF8.GetBytes(wanted)));

    private static bool IsIssuedBy(X509Certificate2Collection trusted, X509Certificate? certificate)
    {
        if (certificate is null)
        {
            return false;
        }

        // A plant's own authority seldom publishes revocation lists.
        using X509Chain chain = new();
        chain.ChainPolicy.TrustMode = X509ChainTrustMode.CustomRootTrust;
        chain.ChainPolicy.CustomTrustStore.AddRange(trusted);
        chain.ChainPolicy.RevocationMode = X509RevocationMode.NoCheck;
        chain.ChainPolicy.ApplicationPolicy.Add(new Oid("1.3.6.1.5.5.7.3.2")); // for clients (RFC 5280 section 4.2.1.12)
        using X509Certificate2 own = X509CertificateLoader.LoadCertificate(certificate.GetRawCertData());
        return chain.Build(own);
    }

    private sealed class Shown(RenewedCertificate certificate) : ICertificateProvider
    {
        public X509Certificate2 GetCertificate() => certificate.Current();
    }
}
