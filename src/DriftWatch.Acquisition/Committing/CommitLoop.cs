using System.Diagnostics;
using System.Threading.Channels;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Acquisition.Committing;

/// <summary>
/// Decodes what has arrived and commits it together (group commit); only then acknowledges each message, in the order they
/// came. A commit that fails is tried again until it succeeds, with its messages unacknowledged.
/// </summary>
internal sealed class CommitLoop
{
    /// <summary>Topics whose first bad message is logged as a warning; a bad source must not flood the log.</summary>
    private const int MostToldTopics = 1000;

    /// <summary>Readings that are not kept are told of again after this; a source that sends them all the time must not flood the log.</summary>
    private static readonly TimeSpan TellAgainAfter = TimeSpan.FromDays(1);

    private readonly HashSet<string> _toldTopics = new(StringComparer.Ordinal);
    private readonly ReadingDecoder _decoder;
    private readonly IReadingSink _sink;
    private readonly CommitPace _pace;
    private readonly TimeProvider _clock;
    private readonly ILogger _logger;
    private readonly SourceRates _rates;
    private readonly RebirthRequests _rebirths;
    private readonly Action<CommitTally> _told;
    private CommitTally _tally = CommitTally.None;
    private long _refused;
    private long? _toldTooOld;
    private long? _toldDiffering;

    /// <param name="decoder">Turns payloads into readings.</param>
    /// <param name="sink">Where readings become durable.</param>
    /// <param name="pace">Size of a commit and waits.</param>
    /// <param name="clock">Clock of the waits.</param>
    /// <param name="logger">Where failures are told.</param>
    /// <param name="rate">How many messages one source may send.</param>
    /// <param name="ask">Publishes a command to a source: topic, payload. Where it throws, the source is asked again later.</param>
    /// <param name="told">Told of each change of the tally.</param>
    public CommitLoop(
        ReadingDecoder decoder, IReadingSink sink, CommitPace pace, TimeProvider clock, ILogger logger, SourceRateOptions rate,
        Func<string, byte[], Task> ask, Action<CommitTally> told)
    {
        _decoder = decoder;
        _sink = sink;
        _pace = pace;
        _clock = clock;
        _logger = logger;
        _rates = new SourceRates(rate);
        _rebirths = new RebirthRequests(decoder, pace, clock, logger, ask);
        _told = told;
    }

    /// <summary>Runs until told to stop or until no more messages can come.</summary>
    public async Task RunAsync(ChannelReader<IncomingMessage> arrived, CancellationToken stop)
    {
        if (!await RememberAsync(stop))
        {
            return;
        }

        _rebirths.TakeUp();
        List<IncomingMessage> batch = [];
        List<VesselReading> readings = [];
        List<QuarantinedMessage> quarantined = [];
        while (!stop.IsCancellationRequested && await MoreAsync(arrived, _rebirths.AskAgainAfter, stop))
        {
            batch.Clear();
            readings.Clear();
            quarantined.Clear();
            while (batch.Count < _pace.MostMessages && arrived.TryRead(out IncomingMessage message))
            {
                batch.Add(message);
                Decode(message, readings, quarantined);
            }

            if (batch.Count > 0 && !await CommitUntilDoneAsync(batch, readings, quarantined, _decoder.TakeMemories(), stop))
            {
                return;
            }

            // Before the messages are acknowledged: should all end in between, they come again and have it asked then.
            await _rebirths.AskAsync();
            await AcknowledgeAsync(batch);
        }
    }

    /// <summary>Takes up what is remembered of sources, once the store can be read.</summary>
    /// <returns>False when told to stop before.</returns>
    private async Task<bool> RememberAsync(CancellationToken stop)
    {
        for (TimeSpan wait = _pace.ShortestRetry; ; wait = _pace.Longer(wait))
        {
            try
            {
                _decoder.Remember(_sink.Memories());
                return true;
            }
            catch (Exception exception) when (exception is not OutOfMemoryException)
            {
                _logger.CommitFailed(exception, 0, wait.TotalSeconds);
                Tell(_tally with { Fault = exception.Message });
            }

            try
            {
                await Task.Delay(wait, _clock, stop);
            }
            catch (OperationCanceledException)
            {
                return false;
            }
        }
    }

    private void Decode(IncomingMessage message, List<VesselReading> readings, List<QuarantinedMessage> quarantined)
    {
        int before = readings.Count;
        DecodedPayload outcome = _decoder.Decode(
            message.Topic, message.Payload.Span, message.Arrived, arrivalIsReadingTime: !message.Kept, readings, message.SentAgain);
        quarantined.AddRange(outcome.Late);
        if (outcome.RebirthTopic is not null)
        {
            _rebirths.Want(outcome.RebirthTopic);
        }

        // Readings of messages that waited for this one stand after its own; those messages were acknowledged long ago.
        int own = outcome.Taken - outcome.TakenLate;
        if (!_rates.Admits(_decoder.SourceOf(message.Topic), message.Arrived, Newest(readings, before, own), out string? refusal))
        {
            readings.RemoveRange(before, own);
            if (outcome.Held)
            {
                _decoder.LetGoOfLastHeld(message.Topic);
            }

            _refused++;
            if (refusal is not null)
            {
                SetAside(message, refusal, quarantined);
            }

            return;
        }

        if (outcome.HasRejected)
        {
            SetAside(message, outcome.Reason, quarantined);
        }
    }

    private static DateTimeOffset? Newest(List<VesselReading> readings, int from, int count)
    {
        DateTimeOffset? newest = null;
        for (int at = from; at < from + count; at++)
        {
            DateTimeOffset instant = readings[at].Reading.Instant;
            newest = newest is { } other && other >= instant ? other : instant;
        }

        return newest;
    }

    private void SetAside(IncomingMessage message, string reason, List<QuarantinedMessage> quarantined)
    {
        quarantined.Add(new QuarantinedMessage(message.Topic, message.Arrived, reason, message.Payload.ToArray()));
        if (_toldTopics.Count < MostToldTopics && _toldTopics.Add(message.Topic))
        {
            _logger.TopicFirstQuarantined(message.Topic, reason);
        }
        else
        {
            _logger.MessageQuarantined(message.Topic, reason);
        }
    }

    /// <returns>False when told to stop before the commit succeeded.</returns>
    private async Task<bool> CommitUntilDoneAsync(
        List<IncomingMessage> batch,
        List<VesselReading> readings,
        List<QuarantinedMessage> quarantined,
        IReadOnlyList<SourceMemory> memories,
        CancellationToken stop)
    {
        int messages = batch.Count;
        TimeSpan wait = _pace.ShortestRetry;
        while (true)
        {
            try
            {
                CommittedReadings committed = Commit(messages, readings, quarantined, memories);
                if (_tally.Fault is not null)
                {
                    _logger.CommitResumed();
                }

                TellNotKept(committed);
                Tell(new CommitTally(
                    _tally.Messages + messages,
                    _tally.Readings + readings.Count - committed.Differing - committed.TooOld,
                    _tally.Quarantined + quarantined.Count,
                    null)
                {
                    Differing = _tally.Differing + committed.Differing,
                    TooOld = _tally.TooOld + committed.TooOld,
                    Lag = _clock.GetUtcNow() - batch[0].Arrived,
                    Refused = _refused,
                    Refusals = _refused == _tally.Refused ? _tally.Refusals : _rates.Refusals,
                });
                return true;
            }
            catch (Exception exception) when (exception is not OutOfMemoryException)
            {
                // Whatever the store says (full, locked, gone): nothing is acknowledged until it holds the readings.
                _logger.CommitFailed(exception, messages, wait.TotalSeconds);
                Tell(_tally with { Fault = exception.Message, Lag = _clock.GetUtcNow() - batch[0].Arrived });
            }

            try
            {
                await Task.Delay(wait, _clock, stop);
            }
            catch (OperationCanceledException)
            {
                return false;
            }

            wait = _pace.Longer(wait);
        }
    }

    private CommittedReadings Commit(
        int messages, List<VesselReading> readings, List<QuarantinedMessage> quarantined, IReadOnlyList<SourceMemory> memories)
    {
        using Activity? trace = CommitTracing.Source.StartActivity("commit");
        _ = trace?.SetTag("messages", messages).SetTag("readings", readings.Count).SetTag("set_aside", quarantined.Count);
        return _sink.Commit(readings, quarantined, memories);
    }

    private void TellNotKept(CommittedReadings committed)
    {
        if (committed.TooOld > 0 && IsNews(ref _toldTooOld))
        {
            _logger.ReadingsTooOld(committed.TooOld);
        }

        if (committed.Differing > 0 && IsNews(ref _toldDiffering))
        {
            _logger.ReadingsDiffer(committed.Differing);
        }
    }

    private bool IsNews(ref long? told)
    {
        if (told is { } before && _clock.GetElapsedTime(before) < TellAgainAfter)
        {
            return false;
        }

        told = _clock.GetTimestamp();
        return true;
    }

    private void Tell(CommitTally tally)
    {
        _tally = tally;
        _told(tally);
    }

    private async Task AcknowledgeAsync(List<IncomingMessage> batch)
    {
        int failed = 0;
        foreach (IncomingMessage message in batch)
        {
            try
            {
                await message.AcknowledgeAsync();
            }
            catch (Exception exception) when (exception is not OutOfMemoryException)
            {
                // The connection it came on is gone, so the sender sends it again.
                failed++;
            }
        }

        if (failed > 0)
        {
            _logger.AcknowledgementFailed(failed);
        }
    }

    /// <summary>Waits for a message, or for the time to ask a source again.</summary>
    /// <returns>False when told to stop, or when no more messages can come.</returns>
    private async Task<bool> MoreAsync(ChannelReader<IncomingMessage> arrived, TimeSpan? atMost, CancellationToken stop)
    {
        using CancellationTokenSource? patience = atMost is { } wait ? new(wait, _clock) : null;
        using CancellationTokenSource? either = patience is null ? null : CancellationTokenSource.CreateLinkedTokenSource(stop, patience.Token);
        try
        {
            return await arrived.WaitToReadAsync(either?.Token ?? stop);
        }
        catch (OperationCanceledException)
        {
            return !stop.IsCancellationRequested;
        }
    }
}
