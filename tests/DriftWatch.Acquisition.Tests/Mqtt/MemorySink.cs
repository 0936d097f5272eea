using DriftWatch.Plant.Readings;
using DriftWatch.TestPeers;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Tests.Mqtt;

/// <summary>A sink in memory, idempotent by (vessel, signal, instant), that can be told to fail.</summary>
internal sealed class MemorySink : IReadingSink
{
    private readonly Lock _lock = new();
    private readonly Dictionary<string, SourceMemory> _memories = new(StringComparer.Ordinal);
    private readonly List<(Func<MemorySink, bool> Condition, TaskCompletionSource Met)> _waiting = [];

    /// <summary>Thrown before anything is stored, where set.</summary>
    public Exception? FailBefore { get; set; }

    /// <summary>Thrown after all is stored, where set: the store holds the readings, and the caller does not know.</summary>
    public Exception? FailAfter { get; set; }

    public Dictionary<(string Vessel, Signal Signal, DateTimeOffset Instant), double> Readings { get; } = [];

    public List<QuarantinedMessage> Quarantined { get; } = [];

    /// <summary>Readings offered, those already held included.</summary>
    public int Offered { get; private set; }

    public int Commits { get; private set; }

    public int Failures { get; private set; }

    public CommittedReadings Commit(
        IReadOnlyCollection<VesselReading> readings, IReadOnlyCollection<QuarantinedMessage> quarantined, IReadOnlyCollection<SourceMemory> memories)
    {
        lock (_lock)
        {
            try
            {
                Throw(FailBefore);
                CommittedReadings committed = default;
                foreach (VesselReading reading in readings)
                {
                    bool entered = Readings.TryAdd((reading.VesselId, reading.Reading.Signal, reading.Reading.Instant), reading.Reading.Value);
                    committed = committed.And(entered ? new(1, 0, 0, 0) : new(0, 1, 0, 0));
                }

                Quarantined.AddRange(quarantined);
                foreach (SourceMemory memory in memories)
                {
                    Remember(memory);
                }

                Offered += readings.Count;
                Commits++;
                Throw(FailAfter);
                return committed;
            }
            finally
            {
                foreach ((Func<MemorySink, bool> condition, TaskCompletionSource met) in _waiting)
                {
                    if (condition(this))
                    {
                        met.TrySetResult();
                    }
                }
            }
        }
    }

    public IReadOnlyList<SourceMemory> Memories()
    {
        lock (_lock)
        {
            return [.. _memories.Values];
        }
    }

    /// <summary>Ends when the condition holds after a commit, successful or not.</summary>
    public Task Until(Func<MemorySink, bool> condition)
    {
        lock (_lock)
        {
            TaskCompletionSource met = new(TaskCreationOptions.RunContinuationsAsynchronously);
            _waiting.Add((condition, met));
            if (condition(this))
            {
                met.TrySetResult();
            }

            return met.Task.WaitAsync(MosquittoBroker.Patience);
        }
    }

    private void Remember(SourceMemory memory)
    {
        SourceMemory? before = _memories.GetValueOrDefault(memory.Source);
        Dictionary<long, HeldMessage> held = before?.Held.ToDictionary(message => message.Number) ?? [];
        foreach (long number in memory.Released)
        {
            held.Remove(number);
        }

        foreach (HeldMessage message in memory.Held)
        {
            held[message.Number] = message;
        }

        _memories[memory.Source] = memory with
        {
            Birth = memory.Birth ?? before?.Birth,
            Held = [.. held.Values.OrderBy(message => message.Number)],
            Released = [],
        };
    }

    private void Throw(Exception? exception)
    {
        if (exception is not null)
        {
            Failures++;
            throw exception;
        }
    }
}
