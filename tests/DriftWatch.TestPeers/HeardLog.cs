using Microsoft.Extensions.Logging;

namespace DriftWatch.TestPeers;

/// <summary>Keeps what is logged, from any thread; as a provider that of every category.</summary>
public sealed class HeardLog<T> : ILogger<T>, ILoggerProvider
{
    private readonly Lock _lock = new();
    private readonly List<(LogLevel Level, int Event, string Text)> _said = [];

    /// <summary>All that was logged, in order.</summary>
    public IReadOnlyList<(LogLevel Level, int Event, string Text)> Said
    {
        get
        {
            lock (_lock)
            {
                return [.. _said];
            }
        }
    }

    /// <summary>Numbers of the events that were warned of, in order.</summary>
    public IEnumerable<int> Warned => Said.Where(said => said.Level == LogLevel.Warning).Select(said => said.Event);

    public ILogger CreateLogger(string categoryName) => this;

    public IDisposable? BeginScope<TState>(TState state)
        where TState : notnull => null;

    public bool IsEnabled(LogLevel logLevel) => true;

    public void Log<TState>(LogLevel logLevel, EventId eventId, TState state, Exception? exception, Func<TState, Exception?, string> formatter)
    {
        lock (_lock)
        {
            _said.Add((logLevel, eventId.Id, formatter(state, exception)));
        }
    }

    public void Dispose()
    {
    }
}
