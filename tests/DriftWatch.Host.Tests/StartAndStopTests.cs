using System.Net;
using System.Net.Sockets;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Host.Acquiring;
using DriftWatch.Host.Commands;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Readings;
using DriftWatch.TestPeers;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;
using Microsoft.Extensions.Logging;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Host.Tests;

/// <summary>A start that fails and a stop on the way say so in a line, and by the exit code.</summary>
public sealed class StartAndStopTests
{
    private static CancellationToken Ended => TestContext.Current.CancellationToken;

    [Theory]
    [InlineData("run", true)]
    [InlineData("run", false)]
    [InlineData("pages", false)]
    public async Task A_port_in_use_is_told_in_one_line(string command, bool broker)
    {
        using TcpListener taken = new(IPAddress.Loopback, 0);
        taken.Start();
        int port = ((IPEndPoint)taken.LocalEndpoint).Port;
        using TemporaryFolder folder = new();
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), folder.File("register.json"));
        _ = Directory.CreateDirectory(folder.File("data"));
        new DriftWatch.Storage.PlantStore(new DriftWatch.Storage.StoreOptions { Path = folder.File("data", "driftwatch.db") }).Dispose();
        await File.WriteAllTextAsync(
            folder.File("driftwatch.json"),
            SettingsJson.Write(new ServiceSettings
            {
                Register = "register.json",
                Broker = new BrokerSettings { Port = broker ? port : FreePort.Find() },
                Web = new WebSettings { Port = broker ? 0 : port },
            }),
            Ended);
        (int exitCode, string output, string errors) = await ProgramRun.ToEndAsync(command, "--settings", folder.File("driftwatch.json"));
        Assert.Equal(ExitCode.BadInput, exitCode);
        Assert.StartsWith(
            FormattableString.Invariant($"The {(broker ? "embedded broker" : "pages")} cannot listen on 127.0.0.1:{port}: "),
            Assert.Single(errors.Split('\n', StringSplitOptions.RemoveEmptyEntries)), StringComparison.Ordinal);
        Assert.DoesNotMatch("(?m)^(fail|crit):|   at ", output);
    }

    /// <summary>A supervisor must see that the service failed, and the log why, once.</summary>
    [Fact]
    public async Task A_part_that_ends_by_itself_ends_the_service_as_failed()
    {
        HostApplicationBuilder builder = Microsoft.Extensions.Hosting.Host.CreateEmptyApplicationBuilder(new HostApplicationBuilderSettings());
        HeardLog<StartAndStopTests> log = new();
        new LogThreshold(LogLevel.Information).Filter(builder.Logging);
        builder.Logging.AddProvider(log);
        builder.Services.AddHostedService<Faulty>();
        using IHost host = builder.Build();
        Assert.Equal(ExitCode.Failed, await RunCommand.UntilStoppedAsync(host, Ended));
        Assert.Equal("Faulty of the service ended by itself, and the service stops: It cannot go on.", Assert.Single(log.Said, said => said.Level >= LogLevel.Warning).Text);
    }

    /// <summary>A broker that listens and commits nothing any more would look alive to its senders.</summary>
    [Fact]
    public async Task An_embedded_broker_whose_commits_end_by_themselves_ends_the_service_as_failed()
    {
        HostApplicationBuilder builder = Microsoft.Extensions.Hosting.Host.CreateEmptyApplicationBuilder(new HostApplicationBuilderSettings());
        HeardLog<StartAndStopTests> log = new();
        new LogThreshold(LogLevel.Information).Filter(builder.Logging);
        builder.Logging.AddProvider(log);
        builder.Services.AddSingleton(new EmbeddedBroker(
            new EmbeddedBrokerOptions { Port = FreePort.Find() }, new ReadingDecoder(SampleReadings.Register()), new SpentSink(), TimeProvider.System,
            NullLogger<EmbeddedBroker>.Instance));
        builder.Services.AddHostedService<BrokerWorker>();
        using IHost host = builder.Build();
        Assert.Equal(ExitCode.Failed, await RunCommand.UntilStoppedAsync(host, Ended));
        Assert.StartsWith("BrokerWorker of the service ended by itself, and the service stops: ", Assert.Single(log.Said, said => said.Level >= LogLevel.Warning).Text, StringComparison.Ordinal);
    }

    /// <summary>What is stopped on the way was not done; shells know 128 and the signal's number.</summary>
    [Fact]
    public async Task The_demo_stopped_on_the_way_ends_without_a_trace()
    {
        using TemporaryFolder folder = new();
        using ProgramRun demo = ProgramRun.Start("demo", "--streams", Repository.SampleStreams, "--output", folder.File("out"));
        while (!File.Exists(folder.File("out", "data", "driftwatch.db")))
        {
            Assert.False(demo.HasExited);
            await Task.Delay(20, Ended);
        }

        Assert.Equal(ExitCode.Stopped, await demo.TerminateAsync());
        Assert.Equal("Stopped before it was done.", (await demo.Errors).Trim());
        Assert.DoesNotContain("   at ", await demo.Output, StringComparison.Ordinal);
    }

    /// <summary>Has no memory left.</summary>
    private sealed class SpentSink : IReadingSink
    {
        public CommittedReadings Commit(
            IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories) =>
            throw new InsufficientMemoryException();

        public IReadOnlyList<SourceMemory> Memories() => throw new InsufficientMemoryException();
    }

    private sealed class Faulty : BackgroundService
    {
        protected override async Task ExecuteAsync(CancellationToken stoppingToken)
        {
            await Task.Yield();
            throw new InvalidOperationException("It cannot go on.");
        }
    }
}
