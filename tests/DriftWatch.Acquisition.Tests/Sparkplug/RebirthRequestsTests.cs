using System.Threading.Channels;
using DriftWatch.Acquisition.Committing;
using DriftWatch.Acquisition.Door;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Acquisition.Tests.Mqtt;
using DriftWatch.TestPeers;
using static DriftWatch.TestPeers.PumpUnitMessages;

namespace DriftWatch.Acquisition.Tests.Sparkplug;

/// <summary>A node that could not be asked for its births is asked again, though it sends nothing more, and only while it is needed.</summary>
public sealed class RebirthRequestsTests : IAsyncLifetime
{
    private const string Group = "spBv1.0/works/";
    private const string Command = Group + "NCMD/pu1";

    private static readonly DateTimeOffset Arrived = new(2025, 6, 3, 7, 31, 0, TimeSpan.Zero);

    private readonly SparkplugLibrary _library = SparkplugLibrary.Start();
    private readonly MemorySink _sink = new();
    private readonly HeardLog<CommitLoop> _log = new();
    private readonly Channel<IncomingMessage> _arrived = Channel.CreateUnbounded<IncomingMessage>();
    private readonly ReadingDecoder _decoder = new(TestRegister.Of(TestRegister.Sources(
        "A1",
        """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/pressure" """,
        """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/temperature" """)));

    public ValueTask InitializeAsync() => ValueTask.CompletedTask;

    public async ValueTask DisposeAsync() => await _library.DisposeAsync();

    [Fact]
    public async Task One_that_could_not_be_asked_is_asked_again_without_another_message()
    {
        List<string> attempts = [];
        TaskCompletionSource asked = new(TaskCreationOptions.RunContinuationsAsynchronously);
        Task running = RunAsync(topic =>
        {
            attempts.Add(topic);
            if (attempts.Count < 4)
            {
                throw new InvalidOperationException("there is no connection");
            }

            asked.SetResult();
        });
        await SendAsync("DDATA/pu1/a1", Data(9));
        await asked.Task.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);

        _arrived.Writer.Complete();
        await running.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
        Assert.Equal([Command, Command, Command, Command], attempts);
        Assert.Equal([2023], _log.Warned);
        Assert.Contains(_log.Said, said => said.Event == 2022);
    }

    [Fact]
    public async Task One_whose_birth_has_come_is_not_asked_any_more()
    {
        TaskCompletionSource tried = new(TaskCreationOptions.RunContinuationsAsynchronously);
        int attempts = 0;
        int sinceBirth = 0;
        Task running = RunAsync(_ =>
        {
            attempts++;
            sinceBirth++;
            tried.TrySetResult();
            throw new InvalidOperationException("there is no connection");
        });
        await SendAsync("DDATA/pu1/a1", Data(9));
        await tried.Task.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
        await SendAsync("NBIRTH/pu1", NodeBirth(7));
        sinceBirth = 0;
        await Task.Delay(TimeSpan.FromMilliseconds(200), TestContext.Current.CancellationToken);

        _arrived.Writer.Complete();
        await running.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
        Assert.NotEqual(0, attempts);
        Assert.Equal(0, sinceBirth);
    }

    /// <summary>Its message was committed and acknowledged, so that it does not come again, and the service was restarted before it could ask.</summary>
    [Fact]
    public async Task One_that_could_not_be_asked_is_asked_after_a_restart_without_another_message()
    {
        using CancellationTokenSource end = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
        Task before = RunAsync(_ => throw new InvalidOperationException("there is no connection"), end.Token);
        await SendAsync("DDATA/pu1/a1", Data(9));
        await end.CancelAsync();
        await before.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);

        TaskCompletionSource<string> asked = new(TaskCreationOptions.RunContinuationsAsynchronously);
        Task after = RunAsync(topic => asked.TrySetResult(topic));
        Assert.Equal(Command, await asked.Task.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken));
        await SendAsync("NBIRTH/pu1", NodeBirth(7));
        await SendAsync("DBIRTH/pu1/a1", DeviceBirth(2, 3));
        Assert.Equal(3, _sink.Readings.Count);

        _arrived.Writer.Complete();
        await after.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
    }

    [Fact]
    public async Task It_is_asked_before_its_message_is_acknowledged()
    {
        List<string> order = [];
        Task running = RunAsync(_ => order.Add("asked"));
        await SendAsync("DDATA/pu1/a1", Data(9), () => order.Add("acknowledged"));

        _arrived.Writer.Complete();
        await running.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
        Assert.Equal(["asked", "acknowledged"], order);
    }

    [Fact]
    public async Task Another_register_does_not_make_it_forgotten()
    {
        _decoder.Decode(Group + "DDATA/pu1/a1", await _library.EncodeAsync(Data(9)), Arrived, arrivalIsReadingTime: true, []);
        Assert.Contains(Command, _decoder.AwaitedBirths());
        _decoder.Use(TestRegister.Of(TestRegister.Sources(
            "A2",
            """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/pressure" """,
            """ "format": "sparkplugB", "topic": "spBv1.0/works/pu1/a1", "name": "gas/temperature" """)));
        Assert.Contains(Command, _decoder.AwaitedBirths());
        _decoder.Use(TestRegister.OneVessel);
        Assert.DoesNotContain(Command, _decoder.AwaitedBirths());
    }

    private Task RunAsync(Action<string> ask, CancellationToken? end = null)
    {
        CommitLoop loop = new(
            _decoder, _sink, new CommitPace(100, TimeSpan.FromMilliseconds(10), TimeSpan.FromMilliseconds(20)), TimeProvider.System,
            _log, new SourceRateOptions(), AskAsync, _ => { });
        return loop.RunAsync(_arrived.Reader, end ?? TestContext.Current.CancellationToken);

        Task AskAsync(string topic, byte[] payload)
        {
            ask(topic);
            return Task.CompletedTask;
        }
    }

    /// <summary>Sends a message and waits until it is acknowledged.</summary>
    private async Task SendAsync(string topic, string payload, Action? acknowledging = null)
    {
        TaskCompletionSource acknowledged = new(TaskCreationOptions.RunContinuationsAsynchronously);
        await _arrived.Writer.WriteAsync(
            new IncomingMessage(
                Group + topic,
                await _library.EncodeAsync(payload),
                Arrived,
                Kept: false,
                SentAgain: false,
                () =>
                {
                    acknowledging?.Invoke();
                    acknowledged.SetResult();
                    return Task.CompletedTask;
                }),
            TestContext.Current.CancellationToken);
        await acknowledged.Task.WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
    }
}
