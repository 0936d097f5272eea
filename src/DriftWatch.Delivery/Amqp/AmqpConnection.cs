using System.Net.Security;
using RabbitMQ.Client;

namespace DriftWatch.Delivery.Amqp;

/// <summary>How a broker is reached over AMQP 0-9-1. Made anew for each connection: secrets are kept nowhere.</summary>
internal static class AmqpConnection
{
    public static Task<IConnection> OpenAsync(AmqpOptions options, string name, CancellationToken cancellationToken)
    {
        ConnectionFactory factory = new()
        {
            HostName = options.Host,
            Port = options.Port,
            VirtualHost = options.VirtualHost,
            ClientProvidedName = name,
            RequestedConnectionTimeout = options.Timeout,
            ContinuationTimeout = options.Timeout,
            // The caller tries again itself, with its own delays.
            AutomaticRecoveryEnabled = false,
            TopologyRecoveryEnabled = false,
        };
        if (options.UserName is { } user)
        {
            factory.UserName = user;
            factory.Password = options.Password?.Read() ?? "";
        }

        if (options.Tls is { } tls)
        {
            factory.Ssl = new SslOption(tls.ServerName ?? options.Host, enabled: true)
            {
                CertificateValidationCallback = (_, certificate, chain, errors) => tls.Trusts(certificate, chain, errors),
                AcceptablePolicyErrors = SslPolicyErrors.None,
                Certs = tls.ClientCertificate() is { } own ? [own] : null,
            };
        }

        return factory.CreateConnectionAsync(cancellationToken);
    }
}
