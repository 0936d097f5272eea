using DriftWatch.Acquisition.Files;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;
using MQTTnet;
using MQTTnet.Protocol;

namespace DriftWatch.Host.Replay;

/// <summary>
/// Plays logger files to a broker over MQTT, each vessel as a gateway of its own: QoS 1 packs of a day's readings in the
/// order of the file, one at a time, sent again until they are acknowledged.
/// </summary>
internal sealed class StreamReplay(VesselRegister register, string host, int port)
{
    private const int ReadingsPerPack = 500;

    private static readonly TimeSpan RetryAfter = TimeSpan.FromMilliseconds(200);

    /// <summary>Plays the files; gives the instant of the last reading.</summary>
    /// <param name="files">Logger files, named after their vessels.</param>
    /// <param name="progress">Told the bytes read of a file.</param>
    /// <param name="stop">Ends the replay early.</param>
    public async Task<DateTimeOffset> PlayAsync(IReadOnlyList<string> files, Action<string, long> progress, CancellationToken stop)
    {
        DateTimeOffset[] ends = await Task.WhenAll(files.Select(file => Task.Run(() => PlayFileAsync(file, progress, stop), stop)));
        return ends.Max();
    }

    private async Task<DateTimeOffset> PlayFileAsync(string file, Action<string, long> progress, CancellationToken stop)
    {
        string vesselId = LoggerFileReader.VesselIdOf(file);
        Vessel vessel = register.Find(vesselId) ?? throw new InvalidDataException($"{file}: vessel '{vesselId}' is not in the register.");
        Dictionary<Signal, SignalSource> sources = vessel.Sources.ToDictionary(source => source.Signal);
        string topic = vessel.Sources[0].Topic;
        var reader = new LoggerFileReader(register);
        using IMqttClient client = new MqttClientFactory().CreateMqttClient();
        DateTimeOffset end = DateTimeOffset.MinValue;
        foreach (VesselReading[] pack in reader
            .Read(file, DateTimeOffset.MaxValue, row => throw new InvalidDataException(row.ToString()), new Progress(bytes => progress(file, bytes)))
            .Chunk(ReadingsPerPack))
        {
            Reading[] readings = Array.ConvertAll(pack, reading => reading.Reading);
            end = readings.Max(reading => reading.Instant) is { } last && last > end ? last : end;
            await PublishAsync(client, vesselId, topic, SenmlPackWriter.Write(readings, sources), stop);
        }

        return end;
    }

    private async Task PublishAsync(IMqttClient client, string clientId, string topic, byte[] pack, CancellationToken stop)
    {
        MqttApplicationMessage message = new MqttApplicationMessageBuilder()
            .WithTopic(topic).WithPayload(pack).WithQualityOfServiceLevel(MqttQualityOfServiceLevel.AtLeastOnce).Build();
        while (true)
        {
            try
            {
                if (!client.IsConnected)
                {
                    await client.ConnectAsync(
                        new MqttClientOptionsBuilder().WithTcpServer(host, port).WithClientId("gateway-" + clientId).WithTimeout(TimeSpan.FromSeconds(60)).Build(), stop);
                }

                MqttClientPublishResult result = await client.PublishAsync(message, stop);
                if (result.IsSuccess)
                {
                    return;
                }
            }
            catch (MQTTnet.Exceptions.MqttCommunicationException) when (!stop.IsCancellationRequested)
            {
                // The broker is away for a moment; the pack is sent again.
            }

            await Task.Delay(RetryAfter, stop);
        }
    }

    private sealed class Progress(Action<long> told) : IProgress<long>
    {
        public void Report(long value) => told(value);
    }
}
