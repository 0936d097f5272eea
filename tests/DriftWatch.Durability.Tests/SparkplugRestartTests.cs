using System.Globalization;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;
using MQTTnet;
using MQTTnet.Protocol;
using static DriftWatch.TestPeers.PumpUnitMessages;

namespace DriftWatch.Durability.Tests;

/// <summary>The service is killed (SIGKILL) between the birth of a Sparkplug node and its data, which go by alias.</summary>
public sealed class SparkplugRestartTests
{
    private const string Register = """
        { "plant": "Example Works", "vessels": [ {
          "id": "A1", "description": "Accumulator", "place": "Hall", "type": "bladder", "gasVolumeLitres": 50,
          "precharge": { "nominalBarGauge": 100, "referenceTemperatureCelsius": 20, "lowerLimitBarGauge": 90, "upperLimitBarGauge": 108 },
          "allowedLoss": { "barPerMonth": 1.0 },
          "sensors": {
            "gasPressure": { "kind": "gauge", "rangeBar": [0, 400], "standardUncertaintyBar": 0.3, "unit": "bar",
                             "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/pressure" },
            "gasTemperature": { "rangeCelsius": [-40, 125], "standardUncertaintyKelvin": 0.5, "unit": "Cel",
                                "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/temperature" } } } ] }
        """;

    [Fact]
    public async Task Data_that_waited_at_the_broker_are_read_by_the_birth_of_before_and_after_a_gap_by_the_next_one()
    {
        CancellationToken ended = TestContext.Current.CancellationToken;
        await using MosquittoBroker broker = await MosquittoBroker.StartAsync();
        await using SparkplugLibrary library = SparkplugLibrary.Start();
        using PlantFolder folder = await PlantFolder.CreateAsync(
            string.Create(CultureInfo.InvariantCulture, $$"""{ "host": "127.0.0.1", "port": {{broker.Port}} }"""), register: Register);
        using IMqttClient node = new MqttClientFactory().CreateMqttClient();
        TaskCompletionSource asked = new(TaskCreationOptions.RunContinuationsAsynchronously);
        node.ApplicationMessageReceivedAsync += _ =>
        {
            asked.TrySetResult();
            return Task.CompletedTask;
        };
        await node.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", broker.Port).Build(), ended);
        await node.SubscribeAsync("spBv1.0/works/NCMD/pu1", cancellationToken: ended);

        using (ServiceProcess service = ServiceProcess.Start(folder.Settings))
        {
            await broker.SaysAsync("Sending SUBACK to driftwatch");
            await PublishAsync("NBIRTH/pu1", NodeBirth(7));
            await PublishAsync("DBIRTH/pu1/a1", DeviceBirth(2, 3));
            await folder.HoldsAsync(2, service);
            await service.KillAsync();
        }

        // By alias, while nobody is there to take them.
        for (int sequence = 2; sequence < 60; sequence++)
        {
            await PublishAsync("DDATA/pu1/a1", Data(sequence));
        }

        using (ServiceProcess service = ServiceProcess.Start(folder.Settings))
        {
            await folder.HoldsAsync(2 + 58, service);
            Assert.False(asked.Task.IsCompleted);
            await service.KillAsync();
        }

        // Number 60 is lost; what follows waits for the birth, over another kill.
        for (int sequence = 61; sequence < 80; sequence++)
        {
            await PublishAsync("DDATA/pu1/a1", Data(sequence));
        }

        using (ServiceProcess service = ServiceProcess.Start(folder.Settings))
        {
            await asked.Task.WaitAsync(MosquittoBroker.Patience, ended);
            await service.KillAsync();
        }

        Assert.Equal(60, folder.Held());
        await PublishAsync("NBIRTH/pu1", NodeBirth(7));
        await PublishAsync("DBIRTH/pu1/a1", DeviceBirth(2, 3));
        using ServiceProcess last = ServiceProcess.Start(folder.Settings);
        await folder.HoldsAsync(60 + 19, last);
        await last.TerminateAsync();
        using Storage.PlantStore store = folder.Open();
        Assert.Empty(store.Quarantine());
        Assert.Empty(Assert.Single(store.Memories()).Held);
        Assert.Equal(
            Enumerable.Range(2, 78).Where(sequence => sequence != 60).Select(InstantOf),
            store.ReadingsAfter("A1", InstantOf(1)).Where(reading => reading.Signal == Signal.GasPressure).Select(reading => reading.Instant));

        async Task PublishAsync(string topic, string payload) => await node.PublishBinaryAsync(
            "spBv1.0/works/" + topic, await library.EncodeAsync(payload), MqttQualityOfServiceLevel.AtLeastOnce, cancellationToken: ended);
    }
}
