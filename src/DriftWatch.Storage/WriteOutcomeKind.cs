namespace DriftWatch.Storage;

/// <summary>What became of a write; only <see cref="Done"/> has changed anything.</summary>
public enum WriteOutcomeKind
{
    /// <summary>It is done now.</summary>
    Done,

    /// <summary>It was done before, under the same key.</summary>
    Repeated,

    /// <summary>What it was to change is no longer what its sender saw.</summary>
    Changed,

    /// <summary>Its key stands for another request.</summary>
    KeyUsed,

    /// <summary>It has no place now.</summary>
    Refused,
}
