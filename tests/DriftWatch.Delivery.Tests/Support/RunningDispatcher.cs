using DriftWatch.Delivery.Dispatch;

namespace DriftWatch.Delivery.Tests.Support;

/// <summary>A dispatcher at work.</summary>
internal sealed class RunningDispatcher : IAsyncDisposable
{
    private readonly CancellationTokenSource _stop = CancellationTokenSource.CreateLinkedTokenSource(TestContext.Current.CancellationToken);
    private readonly Task _run;

    public RunningDispatcher(OutboxDispatcher dispatcher)
    {
        Dispatcher = dispatcher;
        _run = dispatcher.RunAsync(_stop.Token);
    }

    public OutboxDispatcher Dispatcher { get; }

    public async Task Stop()
    {
        await _stop.CancelAsync();
        await _run;
    }

    public async ValueTask DisposeAsync()
    {
        await Stop();
        _stop.Dispose();
    }
}
