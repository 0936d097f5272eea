using System.Security.Cryptography.X509Certificates;
using MQTTnet;
using MQTTnet.Formatter;

namespace DriftWatch.Acquisition.Mqtt;

/// <summary>The subscriber's options in the client library's terms. Secrets are read anew for each connection, and kept nowhere.</summary>
internal static class MqttConnectionOptions
{
    public static MqttClientOptions Build(MqttSubscriberOptions options)
    {
        MqttClientOptionsBuilder builder = new MqttClientOptionsBuilder()
            .WithTcpServer(options.Host, options.Port)
            .WithClientId(options.ClientId)
            .WithCleanStart(false)
            .WithKeepAlivePeriod(options.KeepAlive)
            .WithProtocolVersion(options.Version == MqttVersion.V5 ? MqttProtocolVersion.V500 : MqttProtocolVersion.V311);
        if (options.Version == MqttVersion.V5)
        {
            // No maximum packet size: a broker drops what is larger and acts as if it had sent it (MQTT 5, 3.1.2.11.4), so that
            // nobody would ever hear of it. So it comes, and the decoder sets it aside with its reason.
            builder
                .WithSessionExpiryInterval((uint)options.SessionExpiry.TotalSeconds)
                .WithReceiveMaximum((ushort)options.ReceiveMaximum);
        }

        if (options.UserName is not null)
        {
            builder.WithCredentials(options.UserName, MqttSecret.Read(options.PasswordEnvironmentVariable, options.PasswordFile));
        }

        if (options.Tls is { } tls)
        {
            builder.WithTlsOptions(Tls(tls, options.Host));
        }

        return builder.Build();
    }

    private static MqttClientTlsOptions Tls(MqttTlsOptions tls, string host)
    {
        MqttClientTlsOptionsBuilder builder = new MqttClientTlsOptionsBuilder().UseTls().WithTargetHost(tls.ServerName ?? host);
        if (tls.AuthorityFile is { } authorities)
        {
            // A plant's own authority seldom publishes revocation lists.
            X509Certificate2Collection trusted = [];
            trusted.ImportFromPemFile(authorities);
            builder.WithTrustChain(trusted).WithRevocationMode(X509RevocationMode.NoCheck);
        }

        if (tls.ClientCertificateFile is { } certificate)
        {
            using X509Certificate2 fromPem = X509Certificate2.CreateFromPemFile(certificate, tls.ClientKeyFile);

            // Windows' TLS takes no key that lives in memory only; the detour over PKCS#12 gives it one it takes.
            builder.WithClientCertificates([X509CertificateLoader.LoadPkcs12(fromPem.Export(X509ContentType.Pkcs12), null)]);
        }

        return builder.Build();
    }
}
