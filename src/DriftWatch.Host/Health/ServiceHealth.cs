using Microsoft.Extensions.Logging;

namespace DriftWatch.Host.Health;

/// <summary>
/// How the parts of the service stand. Parts say what is wrong with them and when it is no longer so; each change of a
/// part's state is logged, so that it is known also where no pages are served. Thread-safe.
/// </summary>
public sealed class ServiceHealth
{
    private readonly Lock _lock = new();
    private readonly SortedDictionary<string, PartHealth> _parts = new(StringComparer.Ordinal);
    private readonly TimeProvider _clock;
    private readonly ILogger _log;
    private long _looked;

    /// <summary>Without any part.</summary>
    public ServiceHealth(TimeProvider clock, ILogger<ServiceHealth> log)
    {
        _clock = clock;
        _log = log;
        Looked();
    }

    /// <summary>
    /// How long ago the parts were last looked at; since the start where they never were. Goes by the time that runs on whatever is done to
    /// the clock.
    /// </summary>
    public TimeSpan SinceLook => _clock.GetElapsedTime(Interlocked.Read(ref _looked));

    /// <summary>The parts in order of their names.</summary>
    public IReadOnlyList<PartHealth> Parts
    {
        get
        {
            lock (_lock)
            {
                return [.. _parts.Values];
            }
        }
    }

    /// <summary>The state of the worst part; good without any.</summary>
    public HealthState State => Parts is { Count: > 0 } parts ? parts.Max(part => part.State) : HealthState.Good;

    /// <summary>Says that all parts have just been looked at.</summary>
    public void Looked() => Interlocked.Exchange(ref _looked, _clock.GetTimestamp());

    /// <summary>Says that there is such a part; it is good until something is wrong with it.</summary>
    public void Know(string part) => Change(part, known => known);

    /// <summary>Says that something is wrong with a part, or that it is now so.</summary>
    public void Raise(string part, Complaint complaint) => Change(part, known => known.With(complaint, _clock.GetUtcNow()));

    /// <summary>Says that a matter of a part is in order; nothing happens when it was.</summary>
    public void Settle(string part, string matter) => Change(part, known => known.Without(matter, _clock.GetUtcNow()));

    /// <summary>Raises or settles a matter, by whether there is a complaint.</summary>
    public void Tell(string part, string matter, Complaint? complaint)
    {
        if (complaint is not null)
        {
            Raise(part, complaint);
        }
        else
        {
            Settle(part, matter);
        }
    }

    private void Change(string part, Func<PartHealth, PartHealth> change)
    {
        lock (_lock)
        {
            PartHealth before = _parts.GetValueOrDefault(part) ?? new PartHealth(part, HealthState.Good, _clock.GetUtcNow(), []);
            PartHealth after = _parts[part] = change(before);
            if (after.State == before.State)
            {
                return;
            }

            if (after.State == HealthState.Good)
            {
                HostLog.PartWell(_log, part);
            }
            else
            {
                HostLog.PartUnwell(_log, after.State == HealthState.Failed ? LogLevel.Error : LogLevel.Warning, part, after.State, after.Complaints[0].What, after.Complaints[0].Mend);
            }
        }
    }
}
