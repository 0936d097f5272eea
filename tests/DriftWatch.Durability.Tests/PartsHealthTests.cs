using System.Globalization;
using DriftWatch.TestPeers;

namespace DriftWatch.Durability.Tests;

/// <summary>What goes wrong beside the way of the readings is seen in the health of a running service, and is gone once it is mended.</summary>
public sealed class PartsHealthTests
{
    [Fact]
    public async Task A_register_spoilt_by_hand_and_answers_that_cannot_be_heard_are_told_until_they_are_mended()
    {
        int webPort = FreePort.Find();
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        await broker.StopAsync();
        using PlantFolder folder = await PlantFolder.CreateAsync(
            string.Create(CultureInfo.InvariantCulture, $$"""{ "port": {{FreePort.Find()}} }"""), webPort: webPort,
            more: string.Create(CultureInfo.InvariantCulture, $$""", "queue": { "mqtt": { "host": "127.0.0.1", "port": {{broker.Port}} }, "answers": { "mqtt": true, "trustBrokerIdentity": true } }"""));
        string register = Path.Combine(Path.GetDirectoryName(folder.Settings)!, "register.json");
        string good = await File.ReadAllTextAsync(register, TestContext.Current.CancellationToken);
        using ServiceHealthClient health = new(webPort);
        using ServiceProcess service = ServiceProcess.Start(folder.Settings);
        await health.BecomesAsync("answers", "degraded", service);
        await health.BecomesAsync("register", "good", service);
        await health.BecomesAsync("alarms", "good", service);
        await health.BecomesAsync("charts", "good", service);

        await File.WriteAllTextAsync(register, "{bad", TestContext.Current.CancellationToken);
        await health.BecomesAsync("register", "degraded", service);
        await File.WriteAllTextAsync(register, good, TestContext.Current.CancellationToken);
        await health.BecomesAsync("register", "good", service);

        await broker.StartAgainAsync();
        await health.BecomesAsync("answers", "good", service);
        await service.TerminateAsync();
    }
}
