using System.Diagnostics;
using DriftWatch.Host.Settings;
using DriftWatch.TestPeers;

namespace DriftWatch.Host.Tests;

/// <summary>What is wrong with the settings is told at the start, all of it, each with its field.</summary>
public sealed class SettingsFaultTests : IDisposable
{
    private readonly TemporaryFolder _folder = new();

    public SettingsFaultTests()
    {
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), _folder.File("register.json"));
        File.WriteAllText(_folder.File("empty"), "\n");
        File.WriteAllText(_folder.File("secret"), "a secret\n");
    }

    public void Dispose() => _folder.Dispose();

    [Theory]
    [InlineData("""{ "register": "gone.json" }""", "register: file '")]
    [InlineData("""{ "register": " " }""", "register is empty")]
    [InlineData("""{ "register": "register.json", "dataFolder": "" }""", "dataFolder is empty")]
    [InlineData("""{ "register": "register.json", "dataFolder": "secret" }""", "which is a file")]
    [InlineData("""{ "register": "register.json", "chartFolder": "" }""", "chartFolder is empty")]
    [InlineData("""{ "register": "register.json", "queue": { "folder": "" } }""", "queue.folder is empty")]
    [InlineData("""{ "register": "register.json", "queue": { "csvFolder": " " } }""", "queue.csvFolder is empty")]
    [InlineData("""{ "register": "register.json", "drops": { "folder": "" } }""", "drops.folder is empty")]
    [InlineData("""{ "register": "register.json", "drops": { "folder": "in", "settleSeconds": -1 } }""", "drops.settleSeconds is -1")]
    [InlineData("""{ "register": "register.json", "drops": { "folder": "in", "profile": "gone" } }""", "drops.profile: file '")]
    [InlineData("""{ "register": "register.json", "drops": { "folder": "in", "profile": "secret" } }""", "drops.profile: file '")]
    [InlineData("""{ "register": "register.json", "broker": { "host": "b", "userName": "u", "passwordFile": "gone" } }""", "broker.passwordFile: file '")]
    [InlineData("""{ "register": "register.json", "broker": { "host": "b", "userName": "u", "passwordFile": "empty" } }""", "broker.passwordFile: the first line")]
    [InlineData("""{ "register": "register.json", "broker": { "userName": "u", "passwordFile": "gone" } }""", "broker.passwordFile: file '")]
    [InlineData("""{ "register": "register.json", "broker": { "host": "b", "userName": "u", "passwordEnvironmentVariable": "NOT_SET_AT_ALL" } }""", "broker.passwordEnvironmentVariable: the environment variable NOT_SET_AT_ALL")]
    [InlineData("""{ "register": "register.json", "broker": { "host": "b", "authorityFile": "gone" } }""", "broker.authorityFile: file '")]
    [InlineData("""{ "register": "register.json", "broker": { "host": "b", "authorityFile": "secret" } }""", "it holds no certificate")]
    [InlineData("""{ "register": "register.json", "broker": { "certificateFile": "gone" } }""", "broker.certificateFile: file '")]
    [InlineData("""{ "register": "register.json", "broker": { "messagesPerSecond": 0 } }""", "broker.messagesPerSecond is 0")]
    [InlineData("""{ "register": "register.json", "broker": { "burst": 0 } }""", "broker.burst is 0")]
    [InlineData("""{ "register": "register.json", "broker": { "address": "here" } }""", "broker.address is 'here'")]
    [InlineData("""{ "register": "register.json", "broker": { "address": "0.0.0.0" } }""", "broker.address is '0.0.0.0', which other machines reach")]
    [InlineData("""{ "register": "register.json", "broker": { "tls": true } }""", "broker.tls is for an outside broker")]
    [InlineData("""{ "register": "register.json", "broker": { "userName": "u" } }""", "broker.passwordFile is missing")]
    [InlineData("""{ "register": "register.json", "broker": { "host": "b", "keyFile": "secret" } }""", "broker.keyFile needs broker.certificateFile")]
    [InlineData("""{ "register": "register.json", "broker": { "host": "b", "clientId": "" } }""", "broker.clientId is empty")]
    [InlineData("""{ "register": "register.json", "history": { "influx": { "url": "http://i", "organisation": "o", "bucket": "b", "tokenFile": "gone" } } }""", "history.influx.tokenFile: file '")]
    [InlineData("""{ "register": "register.json", "history": { "influx": { "url": "http://i", "organisation": "o", "bucket": "b", "tokenFile": "empty" } } }""", "history.influx.tokenFile: the first line")]
    [InlineData("""{ "register": "register.json", "history": { "influx": { "url": "http://i", "organisation": "o", "bucket": "b", "tokenEnvironmentVariable": "NOT_SET_AT_ALL" } } }""", "history.influx.tokenEnvironmentVariable: the environment variable NOT_SET_AT_ALL")]
    [InlineData("""{ "register": "register.json", "history": { "influx": { "url": "i", "organisation": "o", "bucket": "b" } } }""", "history.influx.url is 'i'")]
    [InlineData("""{ "register": "register.json", "web": { "certificateFile": "gone" } }""", "web.certificateFile: file '")]
    [InlineData("""{ "register": "register.json", "web": { "certificateFile": "secret" } }""", "web.certificateFile: file '")]
    [InlineData("""{ "register": "register.json", "web": { "signIn": "oidc", "oidc": { "authority": "https://i", "clientId": "c", "clientSecret": { "file": "gone" }, "roles": { "a": "viewer" } } } }""", "web.oidc.clientSecret: file '")]
    [InlineData("""{ "register": "register.json", "queue": { "webhooks": [ { "url": "http://w", "bearerToken": { "file": "gone" } } ] } }""", "queue.webhooks[0].bearerToken: file '")]
    [InlineData("""{ "register": "register.json", "brokr": {} }""", "brokr: there is no such setting; there are register, dataFolder, chartFolder, broker, ")]
    [InlineData("""{ "register": "register.json", "Broker": {} }""", "Broker: there is no such setting; write broker.")]
    [InlineData("""{ "register": "register.json", "broker": { "prot": 1 } }""", "broker.prot: there is no such setting; there are host, port, ")]
    [InlineData("""{ "register": "register.json", "broker": { "port": "x" } }""", "broker.port is \"x\": give a whole number.")]
    [InlineData("""{ "register": "register.json", "broker": { "port": 1.5 } }""", "broker.port is 1.5: give a whole number.")]
    [InlineData("""{ "register": "register.json", "broker": { "port": 99999999999 } }""", "broker.port is 99999999999: give a whole number.")]
    [InlineData("""{ "register": "register.json", "broker": { "tls": "yes" } }""", "broker.tls is \"yes\": give true or false.")]
    [InlineData("""{ "register": "register.json", "broker": { "clientId": 5 } }""", "broker.clientId is a number: give a text.")]
    [InlineData("""{ "register": "register.json", "broker": { "clientId": null } }""", "broker.clientId is null: give a text, or leave it out.")]
    [InlineData("""{ "register": "register.json", "broker": null }""", "broker is null: give an object with host, ")]
    [InlineData("""{ "register": "register.json", "broker": [] }""", "broker is a list: give an object with host, ")]
    [InlineData("""{ "register": "register.json", "history": { "rawRetentionDays": "x" } }""", "history.rawRetentionDays is \"x\": give a whole number.")]
    [InlineData("""{ "register": "register.json", "queue": { "webhooks": {} } }""", "queue.webhooks is an object: give a list.")]
    [InlineData("""{ "register": "register.json", "queue": { "webhooks": [ null ] } }""", "queue.webhooks[0] is null: give an object with name, ")]
    [InlineData("""{ "register": "register.json", "queue": { "webhooks": [ { "url": "http://w" }, { "name": "two" } ] } }""", "queue.webhooks[1].url is missing")]
    [InlineData("""{ "register": "register.json", "queue": { "webhooks": [ { "url": "http://w", "timeout": "soon" } ] } }""", "queue.webhooks[0].timeout is \"soon\": give a duration as a text, d.hh:mm:ss.")]
    [InlineData("""{ "register": "register.json", "queue": { "amqp": { "host": "h", "routingKey": "k", "password": "secretpw" } } }""", "queue.amqp.password is a text: give an object with environmentVariable, file.")]
    [InlineData("""{ "register": "register.json", "web": { "signIn": "oidc", "oidc": { "authority": "https://i", "clientId": "c", "roles": { "a": 5 } } } }""", "web.oidc.roles['a'] is a number: give a text.")]
    [InlineData("""{ }""", "register is missing: name the file")]
    [InlineData("""{ "register": 5 }""", "register is a number: give a text.")]
    [InlineData("""[]""", "it holds no object")]
    [InlineData("""null""", "it holds no object")]
    [InlineData("""{ "register": "register.json", "register": "register.json" }""", "Duplicate property 'register'")]
    [InlineData("{ \"register\": \"register.json\",\n  broker: {} }", "line 2, byte 3: ")]
    [InlineData("", "line 1, byte 1: ")]
    [InlineData("""{ "register": "register.json", "history": { "influx": { "url": "http://u:secretpw@i", "organisation": "o", "bucket": "b" } } }""", "history.influx.url is 'http://***@i', which holds a user name or a password")]
    [InlineData("""{ "register": "register.json", "telemetry": { "otlpEndpoint": "http://u:secretpw@c" } }""", "telemetry.otlpEndpoint is 'http://***@c', which holds a user name or a password")]
    [InlineData("""{ "register": "register.json", "telemetry": { "otlpEndpoint": "u:secretpw@c:4318" } }""", "telemetry.otlpEndpoint is '***@c:4318': give an http")]
    [InlineData("""{ "register": "register.json", "web": { "signIn": "oidc", "oidc": { "authority": "https://u:secretpw@i", "clientId": "c", "roles": { "a": "viewer" } } } }""", "web.oidc.authority is 'https://***@i', which holds a user name or a password")]
    [InlineData("""{ "register": "register.json", "queue": { "webhooks": [ { "url": "http://u:secretpw@w" } ] } }""", "queue.webhooks[0].url holds a user or password")]
    public void A_fault_is_told_with_its_field(string json, string told)
    {
        (ServiceSettings? settings, IReadOnlyList<string> faults) = Read(json);
        Assert.Null(settings);
        Assert.Contains(told, Assert.Single(faults), StringComparison.Ordinal);
        Assert.DoesNotMatch(@"secretpw|System\.|DriftWatch\.|\.NET", faults[0]);
    }

    /// <summary>So that a file with several mistakes is mended in one go.</summary>
    [Fact]
    public void All_that_does_not_fit_is_told_at_once_with_what_is_wrong_in_the_rest()
    {
        (ServiceSettings? settings, IReadOnlyList<string> faults) = Read(
            """
            {
              "register": "register.json", "brokr": { "port": 1 }, "broker": { "port": "x", "burst": 0 }, "pressureUnit": "atm",
              "queue": { "mail": { "host": "h" }, "webhooks": [ { "name": "w" } ], "folder": "" }
            }
            """);
        Assert.Null(settings);
        Assert.Equal(
            ["broker.burst", "broker.port", "brokr:", "pressureUnit", "queue.folder", "queue.mail.from", "queue.mail.to", "queue.webhooks[0].url"],
            faults.Select(fault => fault.Split(' ')[0]).Order(StringComparer.Ordinal));
    }

    [Fact]
    public void A_key_of_another_certificate_is_told()
    {
        using TestCertificates ours = new();
        using TestCertificates others = new();
        (_, IReadOnlyList<string> faults) = Read($$"""{ "register": "register.json", "web": { "certificateFile": "{{ours.CertificateFile}}", "keyFile": "{{others.KeyFile}}" } }""");
        Assert.Contains("are no pair", Assert.Single(faults), StringComparison.Ordinal);
        (_, faults) = Read($$"""{ "register": "register.json", "web": { "certificateFile": "{{ours.CertificateFile}}", "keyFile": "{{_folder.File("gone")}}" } }""");
        Assert.StartsWith("web.keyFile: file '", Assert.Single(faults), StringComparison.Ordinal);
    }

    /// <summary>Paths are relative to the settings file, whatever folder the program was started in.</summary>
    [Fact]
    public void What_is_at_hand_is_found_beside_the_settings_file()
    {
        using TestCertificates certificates = new();
        foreach ((string name, string file) in new[] { ("authority.pem", certificates.AuthorityFile), ("own.pem", certificates.CertificateFile), ("own.key", certificates.KeyFile) })
        {
            File.Copy(file, _folder.File(name));
        }

        (ServiceSettings? settings, IReadOnlyList<string> faults) = Read("""
            {
              "register": "register.json",
              "broker": { "host": "b", "userName": "u", "passwordFile": "secret", "authorityFile": "authority.pem", "certificateFile": "own.pem", "keyFile": "own.key" },
              "history": { "influx": { "url": "http://i", "organisation": "o", "bucket": "b", "tokenFile": "secret" } },
              "web": {
                "certificateFile": "own.pem", "keyFile": "own.key", "signIn": "oidc",
                "oidc": { "authority": "https://i", "clientId": "c", "clientSecret": { "file": "secret" }, "roles": { "a": "viewer" } }
              }
            }
            """);
        Assert.Empty(faults);
        Assert.Equal(_folder.File("secret"), settings!.Broker.PasswordFile);
    }

    /// <summary>A command that only looks into the store may be given by somebody who cannot read the secrets.</summary>
    [Fact]
    public void Who_does_not_run_the_service_needs_no_secrets()
    {
        (ServiceSettings? settings, IReadOnlyList<string> faults) = Read(
            """{ "register": "gone", "broker": { "host": "b", "userName": "u", "passwordFile": "gone" }, "web": { "certificateFile": "gone" } }""", toRun: false);
        Assert.Empty(faults);
        Assert.NotNull(settings);
    }

    [Theory]
    [InlineData("run")]
    [InlineData("settings", "check")]
    public async Task All_faults_of_file_variables_and_named_files_are_told_at_once(params string[] command)
    {
        await File.WriteAllTextAsync(
            _folder.File("driftwatch.json"),
            """{ "register": "register.json", "chartFolder": "", "broker": { "messagesPerSecond": -1 }, "web": { "certificateFile": "gone" } }""",
            TestContext.Current.CancellationToken);
        var start = new ProcessStartInfo("dotnet", ["exec", Path.Combine(AppContext.BaseDirectory, "driftwatch.dll"), .. command, "--settings", _folder.File("driftwatch.json")])
        {
            RedirectStandardError = true,
            RedirectStandardOutput = true,
        };
        start.Environment["DRIFTWATCH__brokr__port"] = "1";
        start.Environment["DRIFTWATCH__pressureUnit"] = "atm";
        using Process program = Process.Start(start)!;
        string errors = await program.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        await program.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(2, program.ExitCode);
        Assert.Equal(
            ["broker.messagesPerSecond", "chartFolder", "environment", "pressureUnit", "web.certificateFile:"],
            errors.Split('\n', StringSplitOptions.RemoveEmptyEntries).Select(line => line.Replace("driftwatch.json: ", "", StringComparison.Ordinal).Split(' ')[0]).Order(StringComparer.Ordinal));
    }

    [Fact]
    public async Task A_settings_file_that_cannot_be_read_is_bad_input()
    {
        Assert.SkipUnless(OperatingSystem.IsLinux(), "A file that exists and gives an error to whoever reads it is at hand under Linux only.");
        _ = File.CreateSymbolicLink(_folder.File("driftwatch.json"), "/proc/self/mem");
        (int exitCode, _, string errors) = await ProgramRun.ToEndAsync("settings", "show", "--settings", _folder.File("driftwatch.json"));
        Assert.Equal(2, exitCode);
        Assert.StartsWith("driftwatch.json: it cannot be read: ", errors, StringComparison.Ordinal);
    }

    private (ServiceSettings? Settings, IReadOnlyList<string> Faults) Read(string json, bool toRun = true)
    {
        File.WriteAllText(_folder.File("driftwatch.json"), json);
        return SettingsReader.Read(_folder.File("driftwatch.json"), toRun);
    }
}
