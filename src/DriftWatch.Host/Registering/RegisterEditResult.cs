namespace DriftWatch.Host.Registering;

/// <summary>What came of a change to the register.</summary>
public enum RegisterEditResult
{
    /// <summary>It is in the file, on record, and counts.</summary>
    Done,

    /// <summary>It would change nothing.</summary>
    Unchanged,

    /// <summary>The register would have defects, or its file cannot be written; it stays as it is.</summary>
    Refused,

    /// <summary>The file is no longer the one that the change was made on; look at it again.</summary>
    Outdated,

    /// <summary>There is no such vessel in the file.</summary>
    NoSuchVessel,
}
