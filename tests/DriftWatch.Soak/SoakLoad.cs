using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Soak;

/// <summary>Publishes every vessel's readings at QoS 1, evenly spread over the interval between its readings.</summary>
internal sealed class SoakLoad(int port, int vessels, TimeSpan interval)
{
    private const int InFlight = 200;
    private long _acknowledged;

    /// <summary>Readings that the broker has acknowledged.</summary>
    public long AcknowledgedReadings => Interlocked.Read(ref _acknowledged);

    public async Task RunAsync(CancellationToken stop)
    {
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        await client.ConnectAsync(new MqttClientOptionsBuilder().WithTcpServer("127.0.0.1", port).WithTimeout(TimeSpan.FromSeconds(60)).Build(), CancellationToken.None);
        using SemaphoreSlim room = new(InFlight);
        using PeriodicTimer timer = new(TimeSpan.FromMilliseconds(50));
        DateTimeOffset start = DateTimeOffset.UtcNow;
        long sent = 0;
        while (!stop.IsCancellationRequested)
        {
            long due = (long)((DateTimeOffset.UtcNow - start) / interval * vessels);
            for (; sent < due; sent++)
            {
                await room.WaitAsync(CancellationToken.None);
                int vessel = (int)(sent % vessels);
                _ = SendAsync(client, vessel, start + (interval * ((double)sent / vessels)), room);
            }

            await timer.WaitForNextTickAsync(CancellationToken.None);
        }

        for (int i = 0; i < InFlight; i++)
        {
            await room.WaitAsync(CancellationToken.None);
        }

        await client.DisconnectAsync(cancellationToken: CancellationToken.None);
    }

    private async Task SendAsync(IMqttClient client, int vessel, DateTimeOffset at, SemaphoreSlim room)
    {
        try
        {
            await client.PublishStringAsync(SoakPlant.Topic(vessel), SoakPlant.Pack(vessel, at), MqttQualityOfServiceLevel.AtLeastOnce);
            Interlocked.Add(ref _acknowledged, 2);
        }
        finally
        {
            room.Release();
        }
    }
}
