using System.Diagnostics;
using System.Net;
using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;
using MQTTnet;

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
        Assert.Matches("NotAuthorized|BadUserNameOrPassword", running.Subscriber.Status.Fault);

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

        (MqttTlsOptions Bad, string Why)[] refused =
        [
            (tls with { AuthorityFile = In("stranger.pem") }, "certificate"),
            (tls with { ServerName = "another.example" }, "certificate"),
            (tls with { ClientCertificateFile = null, ClientKeyFile = null }, ""),
        ];
        foreach ((MqttTlsOptions bad, string why) in refused)
        {
            await using RunningSubscriber running = new(options with { Tls = bad }, new MemorySink());
            await running.Until(status => status.Fault is not null);
            TestContext.Current.TestOutputHelper?.WriteLine(running.Subscriber.Status.Fault!);
            Assert.Contains(why, running.Subscriber.Status.Fault, StringComparison.Ordinal);
            Assert.DoesNotContain("Error while connecting", running.Subscriber.Status.Fault, StringComparison.Ordinal);
            Assert.Equal(0, running.Subscriber.Status.Connections);
        }
    }

    /// <summary>Whoever reads the log must see what to mend: the port, the login or the certificate.</summary>
    [Fact]
    public async Task A_fault_of_the_connection_says_why()
    {
        await using RunningSubscriber away = new(new MqttSubscriberOptions { Port = FreePort.Find() }, new MemorySink());
        await away.Until(status => status.Fault is not null);
        Assert.Equal(new System.Net.Sockets.SocketException((int)System.Net.Sockets.SocketError.ConnectionRefused).Message, away.Subscriber.Status.Fault);
    }

    /// <summary>Beyond the loopback address the embedded broker needs to know who comes; the message is pinned.</summary>
    [Fact]
    public void The_embedded_broker_listens_to_others_only_with_credentials()
    {
        EmbeddedBrokerOptions options = new() { Address = IPAddress.Any };
        Assert.Equal(
            "Address is 0.0.0.0, which others can reach; give UserName and a password, or TLS with ClientAuthorityFile.",
            Assert.Throws<ArgumentException>(options.Validate).Message);
        (options with { UserName = "source", PasswordFile = "secret" }).Validate();
        (options with { Tls = new() { CertificateFile = "broker.pem", ClientAuthorityFile = "ca.pem" } }).Validate();
        Assert.Throws<ArgumentException>((options with { Tls = new() { CertificateFile = "broker.pem" } }).Validate);
        Assert.Throws<ArgumentException>((options with { UserName = "source" }).Validate);
        Assert.Throws<ArgumentException>(new EmbeddedBrokerOptions { PasswordFile = "secret" }.Validate);
        new EmbeddedBrokerOptions { Address = IPAddress.IPv6Loopback }.Validate();
    }

    [Fact]
    public async Task The_embedded_broker_asks_for_name_and_password()
    {
        await File.WriteAllTextAsync(In("secret"), "right\n", Ended);
        EmbeddedBrokerOptions options = new() { Port = FreePort.Find(), UserName = "source", PasswordFile = In("secret") };
        await using EmbeddedBroker broker = Embedded(options);
        await broker.StartAsync();
        Assert.Equal(MqttClientConnectResultCode.Success, await ConnectAsync(options.Port, client => client.WithCredentials("source", "right")));
        Assert.Equal(MqttClientConnectResultCode.BadUserNameOrPassword, await ConnectAsync(options.Port, client => client.WithCredentials("source", "wrong")));
        Assert.Equal(MqttClientConnectResultCode.BadUserNameOrPassword, await ConnectAsync(options.Port, client => client.WithCredentials("another", "right")));
        Assert.Equal(MqttClientConnectResultCode.BadUserNameOrPassword, await ConnectAsync(options.Port, client => client));

        // The password is read for each connection, so that it can be changed while the service runs.
        await File.WriteAllTextAsync(In("secret"), "new\n", Ended);
        Assert.Equal(MqttClientConnectResultCode.Success, await ConnectAsync(options.Port, client => client.WithCredentials("source", "new")));
        File.Delete(In("secret"));
        Assert.NotEqual(MqttClientConnectResultCode.Success, await ConnectAsync(options.Port, client => client.WithCredentials("source", "new")));
    }

    [Fact]
    public async Task The_embedded_broker_proves_itself_over_tls_and_asks_for_certificates()
    {
        using X509Certificate2 authority = Authority("Example Works Authority");
        await File.WriteAllTextAsync(In("ca.pem"), authority.ExportCertificatePem(), Ended);
        Issue(authority, "broker", server: true);
        Issue(authority, "client", server: false);
        using X509Certificate2 stranger = Authority("Somebody Else");
        Issue(stranger, "intruder", server: false);
        EmbeddedBrokerOptions options = new()
        {
            Port = FreePort.Find(),
            Tls = new() { CertificateFile = In("broker.pem"), KeyFile = In("broker.key"), ClientAuthorityFile = In("ca.pem") },
        };
        await using EmbeddedBroker broker = Embedded(options);
        await broker.StartAsync();

        Assert.Equal(MqttClientConnectResultCode.Success, await ConnectAsync(options.Port, client => WithTls(client, "client", authority)));
        Assert.Null(await ConnectAsync(options.Port, client => WithTls(client, "intruder", authority)));
        Assert.Null(await ConnectAsync(options.Port, client => WithTls(client, null, authority)));
        Assert.Null(await ConnectAsync(options.Port, client => WithTls(client, "client", stranger)));
        Assert.Null(await ConnectAsync(options.Port, client => client));
    }

    [Fact]
    public async Task The_embedded_broker_shows_a_renewed_certificate_without_a_restart_and_the_old_one_while_they_are_exchanged()
    {
        using X509Certificate2 authority = Authority("Example Works Authority");
        using X509Certificate2 successor = Authority("Example Works Authority of next year");
        Issue(authority, "broker", server: true);
        EmbeddedBrokerOptions options = new()
        {
            Port = FreePort.Find(),
            Tls = new() { CertificateFile = In("broker.pem"), KeyFile = In("broker.key") },
        };
        await using EmbeddedBroker broker = Embedded(options);
        await broker.StartAsync();
        Assert.Equal(MqttClientConnectResultCode.Success, await ConnectAsync(options.Port, client => WithTls(client, null, authority)));

        await File.WriteAllTextAsync(In("broker.pem"), "half a certificate", Ended);
        Assert.Equal(MqttClientConnectResultCode.Success, await ConnectAsync(options.Port, client => WithTls(client, null, authority)));

        Issue(successor, "broker", server: true);
        Assert.Equal(MqttClientConnectResultCode.Success, await ConnectAsync(options.Port, client => WithTls(client, null, successor)));
        Assert.Null(await ConnectAsync(options.Port, client => WithTls(client, null, authority)));
    }

    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    private static EmbeddedBroker Embedded(EmbeddedBrokerOptions options) => new(
        options, new ReadingDecoder(TestRegister.OneVessel), new MemorySink(), TimeProvider.System, NullLogger<EmbeddedBroker>.Instance);

    private MqttClientOptionsBuilder WithTls(MqttClientOptionsBuilder client, string? own, X509Certificate2 authority)
    {
        MqttClientTlsOptionsBuilder tls = new MqttClientTlsOptionsBuilder().UseTls().WithTargetHost("broker.example")
            .WithTrustChain([authority]).WithRevocationMode(X509RevocationMode.NoCheck);
        return client.WithTlsOptions((own is null
            ? tls
            : tls.WithClientCertificates([X509Certificate2.CreateFromPemFile(In($"{own}.pem"), In($"{own}.key"))])).Build());
    }

    /// <summary>Connects and answers a ping; null where there was no connection.</summary>
    private static async Task<MqttClientConnectResultCode?> ConnectAsync(int port, Func<MqttClientOptionsBuilder, MqttClientOptionsBuilder> with)
    {
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        try
        {
            MqttClientConnectResult result = await client.ConnectAsync(
                with(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithProtocolVersion(MQTTnet.Formatter.MqttProtocolVersion.V500)).Build(), Ended);
            return result.ResultCode;
        }
        catch (Exception exception) when (exception is MQTTnet.Exceptions.MqttCommunicationException or MQTTnet.Exceptions.MqttProtocolViolationException or OperationCanceledException)
        {
            return null;
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
