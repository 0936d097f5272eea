using System.Collections.Concurrent;
using System.Threading.Channels;
using Microsoft.Extensions.Logging;

namespace DriftWatch.Delivery.Tests.Support;

/// <summary>Keeps all that is logged, exceptions with it, and lets a test wait for a message.</summary>
internal sealed class RecordingLog<T> : ILogger<T>
{
    private readonly ConcurrentQueue<string> _all = [];
    private readonly Channel<EventId> _events = Channel.CreateUnbounded<EventId>();

    public string All => string.Join('\n', _all);

    public IDisposable? BeginScope<TState>(TState state)
        where TState : notnull => null;

    public bool IsEnabled(LogLevel logLevel) => true;

    public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
    {
        _all.Enqueue(formatter(state, exception) + exception);
        _ = _events.Writer.TryWrite(eventId);
    }

    /// <summary>Ends when a message of this event has been logged, once for each time it was.</summary>
    public async Task Hears(int eventId)
    {
        while ((await _events.Reader.ReadAsync(TestContext.Current.CancellationToken)).Id != eventId)
        {
        }
    }
}
