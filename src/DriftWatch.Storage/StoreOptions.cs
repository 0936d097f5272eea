namespace DriftWatch.Storage;

/// <summary>Settings of the store.</summary>
public sealed record StoreOptions
{
    /// <summary>Path of the database file; its folder is made when it is missing.</summary>
    public required string Path { get; init; }

    /// <summary>Names of the delivery channels: each job notice waits in the outbox once for each of them. Default: none.</summary>
    public IReadOnlyList<string> Channels { get; init; } = [];

    /// <summary>
    /// Whether channels are also told what was over before the step that found it, as a replay wants it. Default false: of the jobs
    /// of one step they get what stands at its end (<see cref="Plant.Jobs.LastWords"/>); the rest is on record.
    /// </summary>
    public bool TellsPast { get; init; }

    /// <summary>Names of the channels that tell alarms: each alarm notice waits once for each of them. Default: none.</summary>
    public IReadOnlyList<string> AlarmChannels { get; init; } = [];

    /// <summary>
    /// Set-aside messages kept of one source, the newest; at least 1. Default 100: enough to see a pattern, while a
    /// source that sends nothing but rubbish cannot fill the disk. All are counted.
    /// </summary>
    public int QuarantinedPerSource { get; init; } = 100;

    /// <summary>
    /// Sources of set-aside messages kept apart, those heard last; at least 1. Default 1000. The counts of sources
    /// beyond it are added up under <see cref="QuarantineSource.Earlier"/>.
    /// </summary>
    public int QuarantineSources { get; init; } = 1000;

    /// <summary>
    /// Bytes of set-aside messages kept of all sources together; at least 64 KiB. Default 64 MiB. Beyond it the oldest samples
    /// give way; the counts stay.
    /// </summary>
    public long QuarantineBytes { get; init; } = 64 << 20;

    /// <summary>
    /// Days (UTC) that ended this long ago are packed into one block a vessel; 0 to 365 d. Default 2 d: late readings of
    /// those days still enter, and are packed in at the next round.
    /// </summary>
    public TimeSpan PackAfter { get; init; } = TimeSpan.FromDays(2);

    /// <summary>
    /// How long raw readings are kept; whole days, 120 d or longer, null (the default) for ever. Of older days an hourly
    /// roll-up stays; precharge windows, assessments and jobs stay for ever. Not shorter, so that readings that come
    /// late find the raw readings around them, from the last checkpoint before them on.
    /// </summary>
    public TimeSpan? RawRetention { get; init; }

    /// <summary>How long hourly roll-ups are kept; not shorter than <see cref="RawRetention"/>, null (the default) for ever.</summary>
    public TimeSpan? RollUpRetention { get; init; }

    /// <summary>Whether what is committed also goes into the spool for an outside history. Default false.</summary>
    public bool Spool { get; init; }

    /// <summary>
    /// Points that wait in the spool at most; 1 or more. Default 100 million (1.4 to 3 GB): weeks of a large plant. Beyond it the
    /// oldest are given up and counted; they stay in this store.
    /// </summary>
    public long MostSpooledPoints { get; init; } = 100_000_000;

    /// <summary>How long a write waits for another process that holds the file; 0 or longer. Default 30 s.</summary>
    public TimeSpan LockTimeout { get; init; } = TimeSpan.FromSeconds(30);

    /// <summary>All that is wrong with the settings, a line each; empty when they are good.</summary>
    public IReadOnlyList<string> Faults()
    {
        List<string> faults = [];
        if (string.IsNullOrWhiteSpace(Path))
        {
            faults.Add("Path is empty: name the database file.");
        }

        if (Channels.Any(string.IsNullOrWhiteSpace))
        {
            faults.Add("Channels holds an empty name: give each delivery channel a name.");
        }

        if (Channels.Distinct(StringComparer.Ordinal).Count() != Channels.Count)
        {
            faults.Add($"Channels holds a name twice ({string.Join(", ", Channels)}): names must be unique.");
        }

        if (QuarantinedPerSource < 1)
        {
            faults.Add($"QuarantinedPerSource is {QuarantinedPerSource}: it must be at least 1.");
        }

        if (QuarantineSources < 1)
        {
            faults.Add($"QuarantineSources is {QuarantineSources}: it must be at least 1.");
        }

        if (QuarantineBytes < 64 << 10)
        {
            faults.Add($"QuarantineBytes is {QuarantineBytes}: it must be at least 65536.");
        }

        if (MostSpooledPoints < 1)
        {
            faults.Add($"MostSpooledPoints is {MostSpooledPoints}: it must be at least 1.");
        }

        if (LockTimeout < TimeSpan.Zero || LockTimeout > TimeSpan.FromHours(1))
        {
            faults.Add($"LockTimeout is {LockTimeout}: it must be from 0 to 1 h.");
        }

        if (PackAfter < TimeSpan.Zero || PackAfter > TimeSpan.FromDays(365))
        {
            faults.Add($"PackAfter is {PackAfter}: it must be from 0 to 365 days.");
        }

        if (RawRetention < CheckpointRetention.NearPast || RawRetention <= PackAfter)
        {
            faults.Add($"RawRetention is {RawRetention}: it must be at least {CheckpointRetention.NearPast.TotalDays} days and longer than PackAfter ({PackAfter}).");
        }

        if (RollUpRetention is { } rollUp && !(rollUp >= RawRetention))
        {
            faults.Add($"RollUpRetention is {rollUp}: it must not be shorter than RawRetention ({(RawRetention is { } raw ? raw : "for ever")}).");
        }

        return faults;
    }
}
