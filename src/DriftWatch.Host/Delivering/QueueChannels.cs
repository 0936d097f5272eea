using DriftWatch.Delivery.Amqp;
using DriftWatch.Delivery.Files;
using DriftWatch.Delivery.Mail;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Delivery.Webhook;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Host.Delivering;

/// <summary>The channels of the settings; none connects before it has something to deliver.</summary>
internal sealed class QueueChannels : IAsyncDisposable
{
    public QueueChannels(QueueSettings queue, AlarmFloodRule flood, string chartFolder, TimeProvider clock)
    {
        All =
        [
            new FileQueueChannel("files", queue.Folder),
            .. queue.CsvFolder is { } csv ? (IJobChannel[])[new CsvChannel("csv", csv)] : [],
            .. queue.CalendarFolder is { } calendar ? (IJobChannel[])[new CalendarChannel("calendar", calendar)] : [],
            .. queue.Mqtt is { } mqtt ? (IJobChannel[])[new MqttJobChannel(mqtt)] : [],
            .. queue.Webhooks.Select(webhook => new WebhookChannel(webhook, clock)),
            .. queue.Amqp is { } amqp ? (IJobChannel[])[new AmqpJobChannel(amqp)] : [],
            .. queue.Amqp10 is { } amqp10 ? (IJobChannel[])[new Amqp10JobChannel(amqp10)] : [],
            .. queue.Mail is { } mail ? (IJobChannel[])[new MailChannel(mail, flood, vessel => Chart(chartFolder, vessel))] : [],
        ];
    }

    public IReadOnlyList<IJobChannel> All { get; }

    public async ValueTask DisposeAsync()
    {
        foreach (IJobChannel channel in All)
        {
            switch (channel)
            {
                case IAsyncDisposable disposable:
                    await disposable.DisposeAsync();
                    break;
                case IDisposable disposable:
                    disposable.Dispose();
                    break;
                default:
                    break;
            }
        }
    }

    /// <summary>The chart of a vessel as it was drawn last; a mail leaves without it rather than not at all.</summary>
    private static ReadOnlyMemory<byte>? Chart(string folder, string vesselId)
    {
        try
        {
            string file = Path.Combine(folder, vesselId + ".png");
            return File.Exists(file) ? File.ReadAllBytes(file) : null;
        }
        catch (IOException)
        {
            return null;
        }
    }
}
