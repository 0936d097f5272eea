namespace DriftWatch.Acquisition.Door;

/// <summary>Holds each source to its rate: a store of permits that fills with time and empties with messages. One thread at a time.</summary>
internal sealed class SourceRates(SourceRateOptions options)
{
    /// <summary>How often a source that is refused messages is told of; setting each one aside would be the flood again.</summary>
    private static readonly TimeSpan TellEvery = TimeSpan.FromMinutes(1);

    private readonly Dictionary<string, Bucket> _buckets = new(StringComparer.Ordinal);

    /// <summary>The sources that were refused messages, in order of their names.</summary>
    public IReadOnlyList<SourceRefusals> Refusals =>
    [
        .. _buckets
            .Where(bucket => bucket.Value.Refused > 0)
            .Select(bucket => new SourceRefusals(bucket.Key, bucket.Value.Refused, bucket.Value.RefusedAt))
            .OrderBy(refusals => refusals.Source, StringComparer.Ordinal),
    ];

    /// <summary>Asks for one message.</summary>
    /// <param name="source">Source; the caller sees to it that there are not endlessly many.</param>
    /// <param name="now">When it came.</param>
    /// <param name="newest">Instant of its newest reading; null where it brought none.</param>
    /// <param name="reason">Why it is refused, at the first one and then once a minute; else null.</param>
    /// <returns>Whether it is let through.</returns>
    public bool Admits(string source, DateTimeOffset now, DateTimeOffset? newest, out string? reason)
    {
        reason = null;
        if (!_buckets.TryGetValue(source, out Bucket? bucket))
        {
            _buckets.Add(source, bucket = new Bucket { Permits = options.Burst, At = now });
        }

        // A clock set back gives no permits and takes none.
        double seconds = Math.Max(0, (now - bucket.At).TotalSeconds);

        // A backlog goes on by its own time. It may begin anywhere, so that time may go back, and each stretch of it counts once.
        if (newest is { } told)
        {
            seconds = Math.Max(seconds, bucket.Ground.Gain(told).TotalSeconds);
        }

        bucket.Permits = Math.Min(options.Burst, bucket.Permits + (seconds * options.MessagesPerSecond));
        bucket.At = now;
        if (bucket.Permits >= 1)
        {
            bucket.Permits--;
            return true;
        }

        bucket.Refused++;
        bucket.RefusedAt = now;
        if (bucket.ToldAt is not { } last || now - last >= TellEvery || now < last)
        {
            bucket.ToldAt = now;
            reason = FormattableString.Invariant(
                $"its source sends more than {options.MessagesPerSecond} messages a second; {bucket.Refused} were refused so far, of which this is kept as a sample; slow the source down");
        }

        return false;
    }

    private sealed class Bucket
    {
        public double Permits { get; set; }

        public DateTimeOffset At { get; set; }

        public ToldTime Ground { get; } = new();

        public long Refused { get; set; }

        public DateTimeOffset RefusedAt { get; set; }

        public DateTimeOffset? ToldAt { get; set; }
    }
}
