using DriftWatch.Delivery.Amqp;
using DriftWatch.Delivery.Mail;
using DriftWatch.Delivery.Mqtt;
using DriftWatch.Delivery.Webhook;

namespace DriftWatch.Host.Settings;

/// <summary>The maintenance queues that jobs are delivered to: each channel given gets each notice.</summary>
public sealed record QueueSettings
{
    /// <summary>Folder of the file queue, one JSON document a notice; default <c>queue</c>. Its channel is named <c>files</c>.</summary>
    public string Folder { get; init; } = "queue";

    /// <summary>Folder of CSV files, a row a notice; none by default. Its channel is named <c>csv</c>.</summary>
    public string? CsvFolder { get; init; }

    /// <summary>Folder of iCalendar files with the due dates; none by default. Its channel is named <c>calendar</c>.</summary>
    public string? CalendarFolder { get; init; }

    /// <summary>An MQTT broker that jobs are published to; none by default.</summary>
    public MqttJobOptions? Mqtt { get; init; }

    /// <summary>HTTP addresses that jobs are posted to; none by default. Each needs a name of its own.</summary>
    public IReadOnlyList<WebhookOptions> Webhooks { get; init; } = [];

    /// <summary>An AMQP 0-9-1 broker; none by default.</summary>
    public AmqpOptions? Amqp { get; init; }

    /// <summary>An AMQP 1.0 broker; none by default.</summary>
    public Amqp10Options? Amqp10 { get; init; }

    /// <summary>A mail server; none by default.</summary>
    public MailOptions? Mail { get; init; }

    /// <summary>Answers of the queues; none are taken by default.</summary>
    public AnswerSettings? Answers { get; init; }

    /// <summary>All that is wrong with the channels and answers, a line each, each with its field; empty when they are good.</summary>
    public IEnumerable<string> Faults()
    {
        foreach ((string field, string? folder) in new[] { ("folder", Folder), ("csvFolder", CsvFolder), ("calendarFolder", CalendarFolder) })
        {
            if (folder is not null && string.IsNullOrWhiteSpace(folder))
            {
                yield return $"queue.{field} is empty: name a folder.";
            }
        }

        IEnumerable<string> channels =
        [
            .. Mqtt?.Faults("queue.mqtt") ?? [],
            .. Webhooks.SelectMany((webhook, i) => webhook.Faults(FormattableString.Invariant($"queue.webhooks[{i}]"))),
            .. Amqp?.Faults("queue.amqp") ?? [],
            .. Amqp10?.Faults("queue.amqp10") ?? [],
            .. Mail?.Faults("queue.mail") ?? [],
        ];
        foreach (string fault in channels)
        {
            yield return fault;
        }

        foreach (IGrouping<string, string> same in Names().GroupBy(name => name, StringComparer.Ordinal).Where(same => same.Count() > 1))
        {
            yield return $"queue holds {same.Count()} channels with the name '{same.Key}': give each a name of its own.";
        }

        if (Answers is { } answers)
        {
            foreach (string fault in answers.Options.Faults("queue.answers"))
            {
                yield return fault;
            }

            if (!answers.Mqtt && answers.AmqpQueue is null && !answers.Http)
            {
                yield return "queue.answers names no way for them: set mqtt or http to true, or name amqpQueue.";
            }

            if (answers.Http && answers.SigningSecret is null)
            {
                yield return "queue.answers.http is true, but anybody could answer: give signingSecret.";
            }

            if (answers.Mqtt && Mqtt is null)
            {
                yield return "queue.answers.mqtt is true, but there is no broker: give queue.mqtt.";
            }

            if (answers.AmqpQueue is not null && Amqp is null)
            {
                yield return "queue.answers.amqpQueue is given, but there is no broker: give queue.amqp.";
            }
        }
    }

    /// <summary>The names of the channels that tell alarms too.</summary>
    public IEnumerable<string> AlarmNames() =>
    [
        .. Mqtt is { Alarms: true } ? (string[])[Mqtt.Name] : [],
        .. Webhooks.Where(webhook => webhook.Alarms).Select(webhook => webhook.Name),
        .. Amqp is { Alarms: true } ? (string[])[Amqp.Name] : [],
        .. Amqp10 is { Alarms: true } ? (string[])[Amqp10.Name] : [],
        .. Mail is { Alarms: true } ? (string[])[Mail.Name] : [],
    ];

    /// <summary>The names of the channels, in the order of this file.</summary>
    public IEnumerable<string> Names() =>
    [
        "files",
        .. CsvFolder is null ? (string[])[] : ["csv"],
        .. CalendarFolder is null ? (string[])[] : ["calendar"],
        .. Mqtt is null ? (string[])[] : [Mqtt.Name],
        .. Webhooks.Select(webhook => webhook.Name),
        .. Amqp is null ? (string[])[] : [Amqp.Name],
        .. Amqp10 is null ? (string[])[] : [Amqp10.Name],
        .. Mail is null ? (string[])[] : [Mail.Name],
    ];
}
