using DriftWatch.Acquisition.Mqtt;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Readings;
using DriftWatch.TestPeers;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Acquisition.Tests.Mqtt;

/// <summary>A subscriber that runs until it is disposed.</summary>
internal sealed class RunningSubscriber : IAsyncDisposable
{
    public const string ClientId = "driftwatch-test";

    private readonly CancellationTokenSource _stop = new();
    private readonly Task _run;
    private readonly Lock _lock = new();
    private readonly List<(Func<SubscriberStatus, bool> Condition, TaskCompletionSource Met)> _waiting = [];

    public RunningSubscriber(MqttSubscriberOptions options, IReadingSink sink, ReadingDecoder? decoder = null)
    {
        Subscriber = new MqttSubscriber(
            options, decoder ?? new ReadingDecoder(TestRegister.OneVessel), sink, TimeProvider.System, NullLogger<MqttSubscriber>.Instance);
        Subscriber.StateChanged += status =>
        {
            lock (_lock)
            {
                foreach ((Func<SubscriberStatus, bool> condition, TaskCompletionSource met) in _waiting)
                {
                    if (condition(status))
                    {
                        met.TrySetResult();
                    }
                }
            }
        };
        _run = Task.Run(() => Subscriber.RunAsync(_stop.Token));
    }

    public MqttSubscriber Subscriber { get; }

    public static MqttSubscriberOptions OptionsFor(MosquittoBroker broker, MqttVersion version = MqttVersion.V5) => new()
    {
        Port = broker.Port,
        Version = version,
        ClientId = ClientId,
        ShortestRetry = TimeSpan.FromMilliseconds(20),
        LongestRetry = TimeSpan.FromMilliseconds(200),
    };

    public static async Task<RunningSubscriber> ReceivingAsync(
        MqttSubscriberOptions options, IReadingSink sink, ReadingDecoder? decoder = null)
    {
        RunningSubscriber running = new(options, sink, decoder);
        await running.Until(status => status.State == SubscriberState.Receiving);
        return running;
    }

    public Task Until(Func<SubscriberStatus, bool> condition)
    {
        TaskCompletionSource met = new(TaskCreationOptions.RunContinuationsAsynchronously);
        lock (_lock)
        {
            _waiting.Add((condition, met));
        }

        if (condition(Subscriber.Status))
        {
            met.TrySetResult();
        }

        return met.Task.WaitAsync(MosquittoBroker.Patience);
    }

    public async ValueTask DisposeAsync()
    {
        await _stop.CancelAsync();
        await _run.WaitAsync(MosquittoBroker.Patience);
        Assert.Equal(SubscriberState.Stopped, Subscriber.Status.State);
        _stop.Dispose();
    }
}
