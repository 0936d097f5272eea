using System.Diagnostics;
using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.TestPeers;

namespace DriftWatch.Acquisition.Tests.Mqtt;

/// <summary>Passwords and TLS against a real mosquitto.</summary>
public sealed class BrokerSecurityTests : IDisposable
{
    private readonly string _folder = Directory.CreateTempSubdirectory("driftwatch-secrets-").FullName;

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    [Fact]
    public async Task The_password_is_read_from_its_file_for_each_connection()
    {
        string passwords = In("passwords");
        using (Process process = Process.Start("mosquitto_passwd", ["-b", "-c", passwords, "watch", "right"]))
        {
            await process.WaitForExitAsync(TestContext.Current.CancellationToken);
            Assert.Equal(0, process.ExitCode);
        }

        string secret = In("secret");
        await File.WriteAllTextAsync(secret, "wrong\n", TestContext.Current.CancellationToken);
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync($"allow_anonymous false\npassword_file {passwords}");
        MqttSubscriberOptions options = RunningSubscriber.OptionsFor(broker) with { UserName = "watch", PasswordFile = secret };
        await using RunningSubscriber running = new(options, new MemorySink());
        await running.Until(status => status.Fault is not null);
        Assert.Equal(SubscriberState.Connecting, running.Subscriber.Status.State);
        Assert.DoesNotContain("wrong", running.Subscriber.Status.Fault, StringComparison.Ordinal);

        await File.WriteAllTextAsync(secret, "right\n", TestContext.Current.CancellationToken);
        await running.Until(status => status.State == SubscriberState.Receiving);
    }

    [Fact]
    public async Task Both_sides_prove_themselves_over_tls()
    {
        using X509Certificate2 authority = Authority("Example Works Authority");
        await File.WriteAllTextAsync(In("ca.pem"), authority.ExportCertificatePem(), TestContext.Current.CancellationToken);
        Issue(authority, "broker", server: true);
        Issue(authority, "client", server: false);
        using X509Certificate2 stranger = Authority("Somebody Else");
        await File.WriteAllTextAsync(In("stranger.pem"), stranger.ExportCertificatePem(), TestContext.Current.CancellationToken);

        await using MosquittoBroker broker = await MosquittoBroker.StartAsync(
            $"allow_anonymous true\ncafile {In("ca.pem")}\ncertfile {In("broker.pem")}\nkeyfile {In("broker.key")}\nrequire_certificate true");
        MqttTlsOptions tls = new()
        {
            AuthorityFile = In("ca.pem"),
            ClientCertificateFile = In("client.pem"),
            ClientKeyFile = In("client.key"),
            ServerName = "broker.example",
        };
        MqttSubscriberOptions options = RunningSubscriber.OptionsFor(broker) with { Tls = tls };
        await using (await RunningSubscriber.ReceivingAsync(options, new MemorySink()))
        {
        }

        MqttTlsOptions[] refused =
        [
            tls with { AuthorityFile = In("stranger.pem") },
            tls with { ServerName = "another.example" },
            tls with { ClientCertificateFile = null, ClientKeyFile = null },
        ];
        foreach (MqttTlsOptions bad in refused)
        {
            await using RunningSubscriber running = new(options with { Tls = bad }, new MemorySink());
            await running.Until(status => status.Fault is not null);
            Assert.Equal(0, running.Subscriber.Status.Connections);
        }
    }

    private string In(string file) => Path.Combine(_folder, file);

    private static X509Certificate2 Authority(string name)
    {
        using RSA key = RSA.Create(2048);
        CertificateRequest request = new($"CN={name}", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        request.CertificateExtensions.Add(new X509BasicConstraintsExtension(true, false, 0, true));
        request.CertificateExtensions.Add(new X509KeyUsageExtension(X509KeyUsageFlags.KeyCertSign, true));
        return request.CreateSelfSigned(DateTimeOffset.UtcNow.AddDays(-1), DateTimeOffset.UtcNow.AddDays(2));
    }

    private void Issue(X509Certificate2 authority, string name, bool server)
    {
        using RSA key = RSA.Create(2048);
        CertificateRequest request = new($"CN={name}", key, HashAlgorithmName.SHA256, RSASignaturePadding.Pkcs1);
        request.CertificateExtensions.Add(new X509EnhancedKeyUsageExtension([new Oid(server ? "1.3.6.1.5.5.7.3.1" : "1.3.6.1.5.5.7.3.2")], false));
        if (server)
        {
            SubjectAlternativeNameBuilder names = new();
            names.AddDnsName("broker.example");
            names.AddIpAddress(IPAddress.Loopback);
            request.CertificateExtensions.Add(names.Build());
        }

        using X509Certificate2 issued = request.Create(
            authority, DateTimeOffset.UtcNow.AddHours(-1), DateTimeOffset.UtcNow.AddDays(1), [1, 2, 3, (byte)(server ? 4 : 5)]);
        File.WriteAllText(In($"{name}.pem"), issued.ExportCertificatePem());
        File.WriteAllText(In($"{name}.key"), key.ExportPkcs8PrivateKeyPem());
    }
}
