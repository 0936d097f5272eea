using System.Net;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Mqtt;

namespace DriftWatch.Host.Settings;

/// <summary>The broker settings as options of the acquisition.</summary>
internal static class BrokerOptions
{
    public static EmbeddedBrokerOptions Embedded(BrokerSettings broker, QueueSettings queue) => new()
    {
        Port = broker.Port,
        Address = IPAddress.Parse(broker.Address),
        UserName = broker.UserName,
        PasswordEnvironmentVariable = broker.PasswordEnvironmentVariable,
        PasswordFile = broker.PasswordFile,
        Tls = broker.CertificateFile is { } certificate
            ? new BrokerTlsOptions { CertificateFile = certificate, KeyFile = broker.KeyFile, ClientAuthorityFile = broker.ClientAuthorityFile }
            : null,
        OwnTopics = queue.Mqtt is { } jobs ? ["driftwatch", jobs.TopicPrefix] : ["driftwatch"],
        Rate = Rate(broker),
    };

    public static MqttSubscriberOptions Outside(BrokerSettings broker) => new()
    {
        Host = broker.Host!,
        Port = broker.Port,
        Version = broker.Version == "5" ? MqttVersion.V5 : MqttVersion.V311,
        ClientId = broker.ClientId,
        UserName = broker.UserName,
        PasswordEnvironmentVariable = broker.PasswordEnvironmentVariable,
        PasswordFile = broker.PasswordFile,
        Tls = broker.Tls || broker.AuthorityFile is not null || broker.CertificateFile is not null
            ? new MqttTlsOptions
            {
                AuthorityFile = broker.AuthorityFile,
                ClientCertificateFile = broker.CertificateFile,
                ClientKeyFile = broker.KeyFile,
                ServerName = broker.ServerName,
            }
            : null,
        Rate = Rate(broker),
    };

    private static SourceRateOptions Rate(BrokerSettings broker) =>
        new() { MessagesPerSecond = broker.MessagesPerSecond, Burst = broker.Burst };
}
