using DriftWatch.Host.Settings;
using DriftWatch.TestPeers;
using MQTTnet;
using MQTTnet.Exceptions;
using MQTTnet.Protocol;

namespace DriftWatch.Host.Tests;

/// <summary>What is logged is a setting, and one that is taken in while the service runs.</summary>
public sealed class LogLevelTests
{
    [Fact]
    public async Task A_changed_level_counts_at_once_and_what_waits_for_the_next_start_is_named()
    {
        using TemporaryFolder folder = new();
        File.Copy(Path.Combine(Repository.SampleStreams, "register.json"), folder.File("register.json"));
        ServiceSettings settings = new()
        {
            Register = "register.json",
            Broker = new BrokerSettings { Port = FreePort.Find() },
            Web = null,
            Log = new LogSettings { Level = "error" },
        };
        await Write(settings);
        using var service = ProgramRun.Start("run", "--settings", folder.File("driftwatch.json"));

        // Nothing is said at this level, so its broker tells that it runs.
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        while (!await ConnectsAsync(client, settings.Broker.Port))
        {
            Assert.False(service.HasExited);
            await Task.Delay(50, TestContext.Current.CancellationToken);
        }

        // A program's first bad message is a warning and its further ones are told at the level 'debug' alone.
        await Write(settings with { Log = new LogSettings { Level = "debug" }, PressureUnit = "psi", Broker = settings.Broker with { Burst = 7 } });
        string said = await service.SaysAsync("has changed");
        Assert.Contains("the log level is debug; what counts from the next start only: broker.burst, pressureUnit", said, StringComparison.Ordinal);
        await client.PublishStringAsync("quillhaven/pr1/a1", "no readings", MqttQualityOfServiceLevel.AtLeastOnce, cancellationToken: TestContext.Current.CancellationToken);
        await client.PublishStringAsync("quillhaven/pr1/a1", "none again", MqttQualityOfServiceLevel.AtLeastOnce, cancellationToken: TestContext.Current.CancellationToken);
        await service.SaysAsync("dbug: DriftWatch.Acquisition");
        await Write(settings with { Log = new LogSettings { Level = "loud" } });
        Assert.Contains("and has 1 faults", await service.SaysAsync("settings before stay in use"), StringComparison.Ordinal);
        Assert.Contains("Part 'settings'", await service.SaysAsync("Part 'settings' of the service is Degraded"), StringComparison.Ordinal);
        await Write(settings with { Log = new LogSettings { Level = "information" } });
        await service.SaysAsync("Part 'settings' of the service is well again");
        Assert.Equal(0, await service.TerminateAsync());
        string all = await service.Output;
        Assert.DoesNotContain("Embedded broker listens", all, StringComparison.Ordinal); // At the level 'error' of its start.

        Task Write(ServiceSettings changed) => File.WriteAllTextAsync(folder.File("driftwatch.json"), SettingsJson.Write(changed), TestContext.Current.CancellationToken);
    }

    private static async Task<bool> ConnectsAsync(IMqttClient client, int port)
    {
        try
        {
            await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).Build(), TestContext.Current.CancellationToken);
            return true;
        }
        catch (MqttCommunicationException)
        {
            return false;
        }
    }
}
