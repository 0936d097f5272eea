using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Health;

/// <summary>Figures that must be asked of the store, kept for a few seconds so that a busy scraper costs it little. Thread-safe.</summary>
internal sealed class StoreFigures(PlantStore store, string path, LiveRegister register, TimeProvider clock)
{
    private static readonly TimeSpan KeptFor = TimeSpan.FromSeconds(5);

    private readonly Lock _lock = new();
    private readonly AssessmentWatch _watch = new(store);
    private readonly Dictionary<string, Verdict> _verdicts = new(StringComparer.Ordinal);
    private readonly Dictionary<string, (long Sequence, long Since)> _oldest = new(StringComparer.Ordinal);
    private Figures _last = new([], [], 0, 0, 0, []);
    private long? _asked;

    /// <summary>The figures, those of before where the store cannot be read.</summary>
    public Figures Now()
    {
        lock (_lock)
        {
            // By the time that runs on whatever is done to the clock.
            if (_asked is not { } asked || clock.GetElapsedTime(asked) >= KeptFor)
            {
                long now = clock.GetTimestamp();
                _asked = now;
                try
                {
                    _last = AskNeedsLock(now);
                }
                catch (StoreUnavailableException)
                {
                    // The health of the store tells it.
                }
            }

            return _last;
        }
    }

    /// <summary>Bytes of the store's files.</summary>
    public long Bytes() => new[] { path, path + "-wal", path + "-shm" }.Select(file => new FileInfo(file)).Where(file => file.Exists).Sum(file => file.Length);

    private Figures AskNeedsLock(long now)
    {
        foreach ((string vessel, Assessment assessment) in _watch.Look())
        {
            _verdicts[vessel] = assessment.Verdict;
        }

        Dictionary<Verdict, long> byVerdict = Enum.GetValues<Verdict>().ToDictionary(verdict => verdict, verdict => 0L);
        foreach (Vessel vessel in register.Current.Vessels)
        {
            byVerdict[_verdicts.GetValueOrDefault(vessel.Id, Verdict.NotKnownYet)]++;
        }

        List<(string, long, double)> outbox = [];
        foreach (WaitingNotices waiting in store.WaitingNotices())
        {
            if (!_oldest.TryGetValue(waiting.Channel, out (long Sequence, long Since) known) || known.Sequence != waiting.OldestSequence)
            {
                _oldest[waiting.Channel] = known = (waiting.OldestSequence, now);
            }

            outbox.Add((waiting.Channel, waiting.Count, clock.GetElapsedTime(known.Since, now).TotalSeconds));
        }

        return new Figures(
            [.. byVerdict.Select(pair => (pair.Key, pair.Value))],
            outbox,
            store.Waiting().Count,
            store.SpooledPoints(),
            store.SpooledPointsGivenUp(),
            [.. store.DeadLetters().GroupBy(letter => letter.Channel, StringComparer.Ordinal).Select(letters => (letters.Key, (long)letters.Count()))]);
    }

    /// <param name="Verdicts">Vessels of the register by what is said of them; one without any reading is not known yet.</param>
    /// <param name="Outbox">Notices that wait, by channel, and for how long the oldest has been seen to wait, s.</param>
    /// <param name="Waiting">Vessels whose readings wait to be assessed.</param>
    /// <param name="Spooled">Points that wait for InfluxDB.</param>
    /// <param name="GivenUp">Points that were given up since the store was made, as too many waited.</param>
    /// <param name="DeadLetters">Notices set aside, by channel.</param>
    public sealed record Figures(
        IReadOnlyList<(Verdict Verdict, long Vessels)> Verdicts,
        IReadOnlyList<(string Channel, long Waiting, double OldestSeconds)> Outbox,
        long Waiting,
        long Spooled,
        long GivenUp,
        IReadOnlyList<(string Channel, long Count)> DeadLetters);
}
