namespace DriftWatch.Host.Web.People;

/// <summary>
/// Slows guessing down: counts failed sign-ins by account and by network address over a sliding quarter of an hour. In memory,
/// so a restart forgets them. From any thread.
/// </summary>
internal sealed class SignInLimiter(TimeProvider time)
{
    /// <summary>Failures of one account after which it has to wait.</summary>
    public const int MostOfAccount = 5;

    /// <summary>Failures from one address after which it has to wait.</summary>
    public const int MostOfAddress = 20;

    private const int MostKept = 20_000;

    /// <summary>How long a failure counts.</summary>
    public static readonly TimeSpan Span = TimeSpan.FromMinutes(15);

    private readonly Lock _lock = new();
    private readonly Dictionary<string, Queue<DateTimeOffset>> _failures = new(StringComparer.OrdinalIgnoreCase);

    /// <summary>
    /// How long to wait before the next try; null when it may be made now. It counts as failed until it has
    /// <see cref="Succeeded"/>, so that many tries at the same moment are no way round.
    /// </summary>
    public TimeSpan? Begin(string account, string address)
    {
        lock (_lock)
        {
            DateTimeOffset now = time.GetUtcNow();
            DateTimeOffset? until = Max(FreeNeedsLock(AccountKey(account), MostOfAccount, now), FreeNeedsLock(AddressKey(address), MostOfAddress, now));
            if (until > now)
            {
                return until - now;
            }

            foreach (string key in (string[])[AccountKey(account), AddressKey(address)])
            {
                if (!_failures.TryGetValue(key, out Queue<DateTimeOffset>? failures))
                {
                    MakeRoomNeedsLock(now);
                    _failures.Add(key, failures = []);
                }

                failures.Enqueue(now);
            }

            return null;
        }
    }

    /// <summary>Forgets the failures of an account that has signed in, and this try of its address.</summary>
    public void Succeeded(string account, string address)
    {
        lock (_lock)
        {
            _ = _failures.Remove(AccountKey(account));
            if (_failures.TryGetValue(AddressKey(address), out Queue<DateTimeOffset>? failures))
            {
                // The oldest goes in its place: which of them it was makes a difference of minutes at most, and to the good.
                _ = failures.TryDequeue(out _);
            }
        }
    }

    private static string AccountKey(string account) => "account " + (account.Length > 64 ? account[..64] : account);

    private static string AddressKey(string address) => "address " + address;

    private static DateTimeOffset? Max(DateTimeOffset? one, DateTimeOffset? other) => one is null || other > one ? other : one;

    private DateTimeOffset? FreeNeedsLock(string key, int most, DateTimeOffset now)
    {
        if (!_failures.TryGetValue(key, out Queue<DateTimeOffset>? failures))
        {
            return null;
        }

        while (failures.TryPeek(out DateTimeOffset oldest) && oldest + Span <= now)
        {
            _ = failures.Dequeue();
        }

        return failures.Count >= most ? failures.ElementAt(failures.Count - most) + Span : null;
    }

    private void MakeRoomNeedsLock(DateTimeOffset now)
    {
        if (_failures.Count < MostKept)
        {
            return;
        }

        foreach (string key in _failures.Where(pair => pair.Value.Count == 0 || pair.Value.Max() + Span <= now).Select(pair => pair.Key).ToList())
        {
            _ = _failures.Remove(key);
        }

        if (_failures.Count >= MostKept)
        {
            // Names made up at random: what is known of accounts goes, what is known of their senders stays.
            foreach (string key in _failures.Keys.Where(key => key.StartsWith("account ", StringComparison.Ordinal)).Take(MostKept / 2).ToList())
            {
                _ = _failures.Remove(key);
            }
        }
    }
}
