using System.Diagnostics.Metrics;
using System.Text.Json;
using DriftWatch.Acquisition.Committing;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Host.Assessing;
using DriftWatch.Storage;
using DriftWatch.Storage.Influx;
using DriftWatch.Trends.Verdicts;
using Microsoft.Extensions.DependencyInjection;

namespace DriftWatch.Host.Health;

/// <summary>
/// The figures of the service as instruments of one meter, all read from what the parts count anyhow at the moment they are
/// asked for. Counters count from the start of the service.
/// </summary>
internal sealed class ServiceMetrics : IDisposable
{
    public const string MeterName = "DriftWatch";

    private readonly Meter _meter = new(MeterName);

    public ServiceMetrics(ServiceHealth health, PlantStore store, StoreFigures figures, Assessor assessor, OutboxDispatcher dispatcher, IServiceProvider parts)
    {
        EmbeddedBroker? broker = parts.GetService<EmbeddedBroker>();
        MqttSubscriber? subscriber = parts.GetService<MqttSubscriber>();
        Func<CommitTally> tally = () => broker?.Tally ?? subscriber?.Tally ?? CommitTally.None;
        Counter("driftwatch.ingest.messages", "Messages whose content has been committed.", () => tally().Messages);
        Counter("driftwatch.ingest.readings", "Readings from messages that are held now, those already held included.", () => tally().Readings);
        _ = _meter.CreateObservableCounter<long>(
            "driftwatch.ingest.not_kept",
            () => [new(tally().TooOld, Tag("because", "past_retention")), new(tally().Differing, Tag("because", "other_value_held"))],
            null,
            "Readings from messages that are not kept: of days past their retention, or with another value than the one held at their instant.");
        Counter("driftwatch.ingest.set_aside", "Messages set aside, whole or in part.", () => tally().Quarantined);
        Counter("driftwatch.ingest.refused", "Messages refused because their source sent too many.", () => tally().Refused);
        _ = _meter.CreateObservableGauge(
            "driftwatch.ingest.lag", () => tally().Lag.TotalSeconds, "s", "From the arrival of a message to its commit, the oldest of the last commit or of the one that does not succeed.");
        Counter("driftwatch.assessment.steps", "Steps of assessment, each a transaction of one vessel.", () => assessor.Steps);
        Gauge("driftwatch.assessment.waiting", "Vessels whose readings wait to be assessed.", () => figures.Now().Waiting);
        Gauge("driftwatch.assessment.failed", "Vessels whose last step failed.", () => assessor.Failed.Count);
        Counter("driftwatch.windows.found", "Precharge windows found, or found anew, and accepted.", () => store.WindowsAccepted);
        _ = _meter.CreateObservableGauge(
            "driftwatch.vessels", () => figures.Now().Verdicts.Select(of => new Measurement<long>(of.Vessels, Tag("verdict", JsonNamingPolicy.CamelCase.ConvertName(of.Verdict.ToString())))),
            null, "Vessels of the register by what is said of them.");
        Gauge("driftwatch.vessels.blind", "Vessels of which nothing can be said now: no window for too long, or not known yet.", () =>
            figures.Now().Verdicts.Where(of => of.Verdict is Verdict.NoWindowTooLong or Verdict.NotKnownYet).Sum(of => of.Vessels));
        _ = _meter.CreateObservableGauge(
            "driftwatch.outbox.waiting", () => ByChannel(dispatcher, figures.Now().Outbox.ToDictionary(of => of.Channel, of => (double)of.Waiting)), null, "Notices that wait for a channel.");
        _ = _meter.CreateObservableGauge(
            "driftwatch.outbox.oldest", () => ByChannel(dispatcher, figures.Now().Outbox.ToDictionary(of => of.Channel, of => of.OldestSeconds)), "s", "For how long the oldest notice has been seen to wait.");
        _ = _meter.CreateObservableGauge(
            "driftwatch.outbox.dead_letters", () => ByChannel(dispatcher, figures.Now().DeadLetters.ToDictionary(of => of.Channel, of => (double)of.Count)), null, "Notices that a channel refused for good.");
        _ = _meter.CreateObservableCounter(
            "driftwatch.outbox.delivered", () => dispatcher.Status.Select(channel => new Measurement<long>(channel.Delivered, Tag("channel", channel.Channel))), null, "Notices that a channel has taken.");
        _ = _meter.CreateObservableCounter(
            "driftwatch.outbox.failures", () => dispatcher.Status.Select(channel => new Measurement<long>(channel.Failed, Tag("channel", channel.Channel))), null, "Attempts to deliver that failed.");
        Bytes("driftwatch.store.size", "The store's files.", figures.Bytes);
        Bytes("driftwatch.memory.working_set", "Memory of the process that is in the machine's.", () => Environment.WorkingSet);

        // What rises and falls between two full collections is waste not yet collected: only this tells a leak from it.
        Bytes("driftwatch.memory.objects", "Objects that the last full collection left in use; 0 before the first.", ObjectsInUse);
        if (parts.GetService<InfluxWriter>() is { } influx)
        {
            Gauge("driftwatch.influx.spool", "Points that wait for InfluxDB.", () => figures.Now().Spooled);
            Counter("driftwatch.influx.given_up", "Points given up since the store was made, as too many waited for InfluxDB.", () => figures.Now().GivenUp);
            Counter("driftwatch.influx.written", "Points written to InfluxDB, those written again included.", () => influx.Status.Written);
            Counter("driftwatch.influx.refused", "Points that InfluxDB refused for good.", () => influx.Status.Refused);
        }

        _ = _meter.CreateObservableGauge(
            "driftwatch.health", () => health.Parts.Select(part => new Measurement<long>((long)part.State, Tag("part", part.Part))), null, "How a part stands: 0 good, 1 degraded, 2 failed.");
    }

    /// <summary>The figures now, as Prometheus text.</summary>
    public string Text() => PrometheusText.Of(_meter);

    public void Dispose() => _meter.Dispose();

    private static long ObjectsInUse()
    {
        GCMemoryInfo last = GC.GetGCMemoryInfo(GCKind.FullBlocking);
        return last.HeapSizeBytes - last.FragmentedBytes;
    }

    private void Counter(string name, string description, Func<long> value) => _ = _meter.CreateObservableCounter(name, value, null, description);

    private void Gauge(string name, string description, Func<long> value) => _ = _meter.CreateObservableGauge(name, value, null, description);

    private void Bytes(string name, string description, Func<long> value) => _ = _meter.CreateObservableGauge(name, value, "By", description);

    private static IEnumerable<Measurement<double>> ByChannel(OutboxDispatcher dispatcher, Dictionary<string, double> values) =>
        dispatcher.Status.Select(channel => new Measurement<double>(values.GetValueOrDefault(channel.Channel), Tag("channel", channel.Channel)));

    private static KeyValuePair<string, object?> Tag(string key, string value) => new(key, value);
}
