using System.Text;
using System.Threading.Channels;
using DriftWatch.Acquisition.Committing;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Time.Testing;

namespace DriftWatch.Acquisition.Tests.Committing;

/// <summary>What the store says of the readings that it was given is not thrown away.</summary>
public sealed class CommitLoopTests
{
    private readonly FakeTimeProvider _clock = new(new DateTimeOffset(2026, 3, 1, 0, 0, 0, TimeSpan.Zero));
    private readonly AnsweringSink _sink = new();
    private readonly HeardLog<CommitLoop> _log = new();
    private readonly Channel<IncomingMessage> _arrived = Channel.CreateUnbounded<IncomingMessage>();
    private CommitTally _tally = CommitTally.None;

    [Fact]
    public async Task Readings_that_are_not_kept_are_counted_apart_and_warned_of_once_a_day()
    {
        CommitLoop loop = new(
            new ReadingDecoder(TestRegister.OneVessel), _sink, new CommitPace(1, TimeSpan.FromSeconds(1), TimeSpan.FromSeconds(1)), _clock, _log,
            new SourceRateOptions(), (_, _) => Task.CompletedTask, tally => _tally = tally);
        Task running = loop.RunAsync(_arrived.Reader, TestContext.Current.CancellationToken);

        await SendAsync(new CommittedReadings(1, 0, 0, 0));
        await SendAsync(new CommittedReadings(0, 1, 0, 0));
        Assert.Equal((2, 0, 0), (_tally.Readings, _tally.TooOld, _tally.Differing));
        Assert.Empty(_log.Warned);

        await SendAsync(new CommittedReadings(0, 0, 0, 1));
        await SendAsync(new CommittedReadings(0, 0, 0, 1));
        Assert.Equal((2, 2, 0), (_tally.Readings, _tally.TooOld, _tally.Differing));
        Assert.Equal([2013], _log.Warned);

        await SendAsync(new CommittedReadings(0, 0, 1, 0));
        Assert.Equal((2, 2, 1), (_tally.Readings, _tally.TooOld, _tally.Differing));
        _clock.Advance(TimeSpan.FromDays(1));
        await SendAsync(new CommittedReadings(0, 0, 0, 1));
        Assert.Equal([2013, 2014, 2013], _log.Warned);

        _arrived.Writer.Complete();
        await running.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
    }

    /// <summary>Sends one reading, which the sink answers so, and waits for its acknowledgement.</summary>
    private async Task SendAsync(CommittedReadings answer)
    {
        _sink.Answer = answer;
        TaskCompletionSource acknowledged = new(TaskCreationOptions.RunContinuationsAsynchronously);
        await _arrived.Writer.WriteAsync(
            new IncomingMessage(
                "works/a1",
                Encoding.UTF8.GetBytes("""[{"n":"gas-pressure","u":"Pa","t":1772000000,"v":9e6}]"""),
                _clock.GetUtcNow(),
                Kept: false,
                SentAgain: false,
                () =>
                {
                    acknowledged.SetResult();
                    return Task.CompletedTask;
                }),
            TestContext.Current.CancellationToken);
        await acknowledged.Task.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
        Assert.Null(_tally.Fault);
    }

    private sealed class AnsweringSink : IReadingSink
    {
        public CommittedReadings Answer { get; set; }

        public CommittedReadings Commit(
            IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories)
        {
            Assert.Single(readings);
            return Answer;
        }

        public IReadOnlyList<SourceMemory> Memories() => [];
    }
}
