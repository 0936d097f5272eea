namespace DriftWatch.Host.Settings;

/// <summary>A watched folder for logger files.</summary>
public sealed record DropSettings
{
    /// <summary>The folder; taken files go to its subfolders done and failed.</summary>
    public required string Folder { get; init; }

    /// <summary>Logger profile (JSON) for its files; none: the default columns.</summary>
    public string? Profile { get; init; }

    /// <summary>Seconds for which a file must have stopped growing; default 10, 0 to 3600.</summary>
    public double SettleSeconds { get; init; } = 10;

    /// <summary>What is wrong, a line each.</summary>
    internal IEnumerable<string> Faults()
    {
        foreach (string fault in NamedFile.FolderFaults("drops.folder", Folder))
        {
            yield return fault;
        }

        if (!(SettleSeconds >= 0 && SettleSeconds <= 3600))
        {
            yield return FormattableString.Invariant($"drops.settleSeconds is {SettleSeconds}: give 0 to 3600.");
        }
    }

    /// <summary>What it names and cannot be used now, a line each.</summary>
    internal IEnumerable<string> Missing() => Profile is null ? [] : NamedFile.Faults("drops.profile", Profile, () => _ = ProfileFile.Open(Profile));
}
