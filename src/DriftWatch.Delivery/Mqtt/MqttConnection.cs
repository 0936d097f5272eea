using MQTTnet;
using MQTTnet.Formatter;

namespace DriftWatch.Delivery.Mqtt;

/// <summary>How a broker is reached, in the client library's terms. Made anew for each connection: secrets are kept nowhere.</summary>
internal static class MqttConnection
{
    public static MqttProtocolVersion ProtocolOf(MqttJobOptions options) =>
        options.Version == "5" ? MqttProtocolVersion.V500 : MqttProtocolVersion.V311;

    public static MqttClientOptionsBuilder Builder(MqttJobOptions options)
    {
        MqttClientOptionsBuilder builder = new MqttClientOptionsBuilder()
            .WithTcpServer(options.Host, options.Port)
            .WithProtocolVersion(ProtocolOf(options))
            .WithTimeout(options.Timeout);
        if (options.UserName is not null)
        {
            builder = builder.WithCredentials(options.UserName, options.Password?.Read());
        }

        if (options.Tls is { } tls)
        {
            builder = builder.WithTlsOptions(secure =>
            {
                secure.UseTls()
                    .WithTargetHost(tls.ServerName ?? options.Host)
                    .WithCertificateValidationHandler(far => tls.Trusts(far.Certificate, far.Chain, far.SslPolicyErrors));
                if (tls.ClientCertificate() is { } certificate)
                {
                    secure.WithClientCertificates([certificate]);
                }
            });
        }

        return builder;
    }

    public static async Task ConnectAsync(IMqttClient client, MqttJobOptions options, MqttClientOptions connect, CancellationToken cancellationToken)
    {
        MqttClientConnectResult result = await client.ConnectAsync(connect, cancellationToken).ConfigureAwait(false);
        if (result.ResultCode != MqttClientConnectResultCode.Success)
        {
            throw new IOException(
                $"Broker {options.Host}:{options.Port} refused the connection: {result.ResultCode} {result.ReasonString}. Check user, password and client identifier '{connect.ClientId}'.");
        }
    }
}
