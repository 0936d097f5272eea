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
}
