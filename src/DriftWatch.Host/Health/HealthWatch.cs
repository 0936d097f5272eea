using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Delivery.Answers;
using DriftWatch.Delivery.Dispatch;
using DriftWatch.Host.Assessing;
using DriftWatch.Plant.Notices;
using DriftWatch.Storage;
using DriftWatch.Storage.Influx;
using Microsoft.Extensions.DependencyInjection;
using Microsoft.Extensions.Hosting;

namespace DriftWatch.Host.Health;

/// <summary>Looks every second at what the parts say of themselves, and from time to time whether the store can be written to.</summary>
internal sealed class HealthWatch : BackgroundService
{
    private static readonly TimeSpan Interval = TimeSpan.FromSeconds(1);
    private static readonly TimeSpan StoreInterval = TimeSpan.FromSeconds(10);

    /// <summary>A first connection that is being made is no fault yet.</summary>
    private static readonly TimeSpan TimeToConnect = TimeSpan.FromSeconds(10);

    /// <summary>How long it is told that a source was refused messages.</summary>
    private static readonly TimeSpan RefusalsAreTold = TimeSpan.FromMinutes(10);

    private readonly ServiceHealth _health;
    private readonly PlantStore _store;
    private readonly Assessor _assessor;
    private readonly OutboxDispatcher _dispatcher;
    private readonly EmbeddedBroker? _broker;
    private readonly MqttSubscriber? _subscriber;
    private readonly InfluxWriter? _influx;
    private readonly InfluxBesideStore? _influxHistory;
    private readonly AnswerDesk? _answers;
    private readonly IReadOnlyList<OwnCertificate> _certificates;
    private readonly HashSet<string> _unheard = new(StringComparer.Ordinal);
    private readonly HashSet<string> _refused = new(StringComparer.Ordinal);
    private DateTimeOffset? _connectingSince;
    private long? _givenUpBefore;

    public HealthWatch(ServiceHealth health, PlantStore store, Assessor assessor, OutboxDispatcher dispatcher, IServiceProvider parts)
    {
        _health = health;
        _store = store;
        _assessor = assessor;
        _dispatcher = dispatcher;
        _broker = parts.GetService<EmbeddedBroker>();
        _subscriber = parts.GetService<MqttSubscriber>();
        _influx = parts.GetService<InfluxWriter>();
        _influxHistory = parts.GetService<InfluxBesideStore>();
        _answers = parts.GetService<AnswerDesk>();
        _certificates = parts.GetRequiredService<IReadOnlyList<OwnCertificate>>();
        health.Know(ServicePart.Store);
        health.Know(ServicePart.Acquisition);
        health.Know(ServicePart.Assessment);
        health.Know(ServicePart.Register);
        health.Know(ServicePart.Alarms);
        health.Know(ServicePart.Charts);
        if (_answers is not null)
        {
            health.Know(ServicePart.Answers);
        }

        if (_influx is not null)
        {
            health.Know(ServicePart.Influx);
        }

        foreach (ChannelStatus channel in dispatcher.Status)
        {
            health.Know(ServicePart.Queue(channel.Channel));
        }
    }

    protected override async Task ExecuteAsync(CancellationToken stoppingToken)
    {
        await Task.Yield();
        using var timer = new PeriodicTimer(Interval);
        int rounds = 0;
        do
        {
            LookAtAcquisition(DateTimeOffset.UtcNow);
            LookAtAssessment();
            LookAtInflux();
            if (rounds++ % (int)(StoreInterval / Interval) == 0)
            {
                LookAtStore();
                LookAtCertificates(DateTimeOffset.UtcNow);
            }

            LookAtQueues();
            LookAtAnswers();
            _health.Looked();
        }
        while (await timer.WaitForNextTickAsync(stoppingToken));
    }

    private void LookAtAcquisition(DateTimeOffset now)
    {
        string? commit = null;
        IReadOnlyList<SourceRefusals> refusals = [];
        if (_broker is not null)
        {
            (commit, refusals) = (_broker.Tally.Fault, _broker.Tally.Refusals);
        }
        else if (_subscriber is not null)
        {
            SubscriberStatus status = _subscriber.Status;
            refusals = status.Refusals;
            commit = status.State == SubscriberState.CommitFailing ? status.Fault : null;
            _connectingSince = status.State == SubscriberState.Connecting ? _connectingSince ?? now : null;
            _health.Tell(ServicePart.Acquisition, Matter.Connection, (_connectingSince is not null && status.Fault is not null) || now - _connectingSince > TimeToConnect
                ? new Complaint(
                    Matter.Connection, HealthState.Failed, $"There is no connection to the broker: {status.Fault ?? "it is being made"}.",
                    "It is tried again by itself; check that the broker runs, broker.host and broker.port, and the credentials.")
                : null);
        }

        _health.Tell(ServicePart.Store, Matter.Commit, commit is { } fault
            ? new Complaint(Matter.Commit, HealthState.Failed, "Readings cannot be committed and stay unacknowledged: " + fault, "Nothing is lost while senders and broker keep them; it goes on by itself once the store can be written to.")
            : null);
        _health.Tell(ServicePart.Acquisition, Matter.Commit, commit is not null
            ? new Complaint(Matter.Commit, HealthState.Failed, "No message is acknowledged, as the store cannot take what it brings.", "See the store.")
            : null);
        foreach (SourceRefusals source in refusals)
        {
            string matter = $"{Matter.Rate} {source.Source}";
            bool lately = now - source.Last < RefusalsAreTold;
            if (lately || _refused.Contains(matter))
            {
                _health.Tell(ServicePart.Acquisition, matter, lately ? TooMany(matter, source) : null);
                _ = lately ? _refused.Add(matter) : _refused.Remove(matter);
            }
        }
    }

    private static Complaint TooMany(string matter, SourceRefusals source) => new(
        matter,
        HealthState.Degraded,
        FormattableString.Invariant(
            $"{(source.Source.Length > 0 ? $"Source '{source.Source}' sends" : "Topics that are not in the register send")} more messages than one source may: {source.Count} were refused since the start, and their readings are not taken."),
        "Slow the source down, let it pack many readings into a message, or raise broker.messagesPerSecond and broker.burst; the command set-aside shows samples.");

    private void LookAtAssessment()
    {
        IReadOnlyDictionary<string, string> failed = _assessor.Failed;
        KeyValuePair<string, string> first = failed.OrderBy(vessel => vessel.Key, StringComparer.Ordinal).FirstOrDefault();
        _health.Tell(ServicePart.Assessment, Matter.Vessels, first.Key is not null
            ? new Complaint(
                Matter.Vessels, HealthState.Degraded,
                FormattableString.Invariant($"{failed.Count} vessel{(failed.Count == 1 ? "" : "s")} could not be assessed, {first.Key} among them: {first.Value}"),
                "Their readings wait and are tried again every 5 min; the log (event 3004) has the whole reason.")
            : null);
    }

    private void LookAtInflux()
    {
        if (_influx is null)
        {
            return;
        }

        const string Mend = "What is committed waits in the spool and is written by itself; check that the server runs, history.influx and its token.";
        _health.Tell(ServicePart.Influx, Matter.Points, _influx.Status.Fault is { } fault
            ? new Complaint(Matter.Points, HealthState.Degraded, "Points cannot be written: " + fault, Mend)
            : null);
        _health.Tell(ServicePart.Influx, Matter.Refused, _influx.Status.Refused is var refused and > 0
            ? new Complaint(
                Matter.Refused, HealthState.Degraded, FormattableString.Invariant($"{refused} points were refused for good since the start; the embedded store holds what they say."),
                "The log (event 4102) has the server's reason of each: mend that, such as a field of another type in the bucket. Told until the next start.")
            : null);
        _health.Tell(ServicePart.Influx, Matter.Reading, _influxHistory?.Fault is { } reading
            ? new Complaint(Matter.Reading, HealthState.Degraded, "Readings could not be read back when it was last asked: " + reading, "Pages show what the embedded store holds; check the server and that its token may read the bucket.")
            : null);
    }

    /// <summary>Whether the store can be written to, and what it tells of what waits in it.</summary>
    internal void LookAtStore()
    {
        try
        {
            _store.Probe();
            _health.Settle(ServicePart.Store, Matter.Write);
            ILookup<string, DeadLetter> letters = _store.DeadLetters().ToLookup(letter => letter.Channel, StringComparer.Ordinal);
            foreach (ChannelStatus channel in _dispatcher.Status)
            {
                int count = letters[channel.Channel].Count();
                _health.Tell(ServicePart.Queue(channel.Channel), Matter.SetAside, count > 0
                    ? new Complaint(
                        Matter.SetAside, HealthState.Degraded, FormattableString.Invariant($"{count} notice{(count == 1 ? " was" : "s were")} refused for good and set aside."),
                        "The command 'queue dead-letters' shows them with the reasons, 'queue resend' sends them again.")
                    : null);
            }

            LookAtSpool();
        }
        catch (StoreUnavailableException exception)
        {
            _health.Raise(ServicePart.Store, new Complaint(Matter.Write, HealthState.Failed, exception.Message, "It is tried again every 10 s and goes on by itself."));
        }
    }

    private void LookAtSpool()
    {
        if (_influx is null)
        {
            return;
        }

        long givenUp = _store.SpooledPointsGivenUp();
        long lately = givenUp - (_givenUpBefore ??= givenUp);
        _health.Tell(ServicePart.Influx, Matter.GivenUp, lately > 0
            ? new Complaint(
                Matter.GivenUp, HealthState.Degraded,
                FormattableString.Invariant($"{lately} points were given up since the start, the oldest first, as too many waited for InfluxDB; the embedded store holds what they say, as long as its retention lasts."),
                "Let the server take what waits: see 'points' and the log (events 4100, 4102). Told until the next start.")
            : null);
    }

    /// <summary>Whether the channels take notices, and for all.</summary>
    internal void LookAtQueues()
    {
        foreach (ChannelStatus channel in _dispatcher.Status)
        {
            _health.Tell(ServicePart.Queue(channel.Channel), Matter.Delivery, channel.Fault is { } fault
                ? new Complaint(
                    Matter.Delivery, HealthState.Degraded, "It takes no notices: " + fault,
                    "Notices wait in the outbox and are tried again by themselves; check that the far side runs, its address and credentials.")
                : null);
            _health.Tell(ServicePart.Queue(channel.Channel), Matter.Recipients, channel.RefusedRecipients is { } refused
                ? new Complaint(
                    Matter.Recipients, HealthState.Degraded, "It takes notices, but not for these recipients: " + refused,
                    "They get nothing, the others do: mend the address in queue.mail.to, or take it out, and start the service anew.")
                : null);
        }
    }

    private void LookAtAnswers()
    {
        IReadOnlyDictionary<string, string> unheard = _answers?.Unheard ?? new Dictionary<string, string>();
        foreach (string via in _unheard.Except(unheard.Keys, StringComparer.Ordinal).ToArray())
        {
            _health.Settle(ServicePart.Answers, $"{Matter.Hearing} {via}");
            _ = _unheard.Remove(via);
        }

        foreach ((string via, string why) in unheard)
        {
            _ = _unheard.Add(via);
            string matter = $"{Matter.Hearing} {via}";
            _health.Raise(ServicePart.Answers, new Complaint(
                matter, HealthState.Degraded, $"Answers by {via} are not taken: {why}",
                "Their broker keeps them and it is tried again by itself; check that it runs, that the queue or topic is there and this user may read it, and the store."));
        }
    }

    private void LookAtCertificates(DateTimeOffset now)
    {
        foreach (OwnCertificate certificate in _certificates)
        {
            _health.Tell(certificate.Part, Matter.Certificate, certificate.Look(now));
        }
    }
}
