using System.Net;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Mqtt;

namespace DriftWatch.Host.Settings;

/// <summary>The broker settings as options of the acquisition.</summary>
internal static class BrokerOptions
{
    /// <summary>What is wrong with the settings as a whole; null where nothing is.</summary>
    public static string? WhyNot(BrokerSettings broker)
    {
        if (!IPAddress.TryParse(broker.Address, out _))
        {
            return $"address is '{broker.Address}': give an IP address of this machine, such as 127.0.0.1 or 0.0.0.0.";
        }

        if (broker.Host is null && (broker.Tls || broker.AuthorityFile is not null || broker.ServerName is not null))
        {
            return "tls, authorityFile and serverName are for an outside broker: name it in host.";
        }

        if (broker.Host is not null && broker.ClientAuthorityFile is not null)
        {
            return "clientAuthorityFile is for the embedded broker: remove it, or host.";
        }

        if (broker.CertificateFile is null && (broker.KeyFile ?? (broker.Host is null ? broker.ClientAuthorityFile : null)) is not null)
        {
            return "keyFile and clientAuthorityFile need certificateFile: name the file with the own certificate.";
        }

        try
        {
            if (broker.Host is null)
            {
                Embedded(broker).Validate();
            }
            else
            {
                Outside(broker).Validate();
            }

            return null;
        }
        catch (ArgumentException exception)
        {
            return exception.Message;
        }
    }

    public static EmbeddedBrokerOptions Embedded(BrokerSettings broker) => new()
    {
        Port = broker.Port,
        Address = IPAddress.Parse(broker.Address),
        UserName = broker.UserName,
        PasswordEnvironmentVariable = broker.PasswordEnvironmentVariable,
        PasswordFile = broker.PasswordFile,
        Tls = broker.CertificateFile is { } certificate
            ? new BrokerTlsOptions { CertificateFile = certificate, KeyFile = broker.KeyFile, ClientAuthorityFile = broker.ClientAuthorityFile }
            : null,
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
