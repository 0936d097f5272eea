namespace DriftWatch.Trends.Faults;

/// <summary>The faults of a vessel's signals; equal when all of them are.</summary>
/// <param name="All">One by one, in order of the signals.</param>
public sealed record SensorFaults(IReadOnlyList<SensorFault> All)
{
    /// <summary>No fault is seen.</summary>
    public static SensorFaults None { get; } = new([]);

    /// <summary>Equal when the faults are, in the same order.</summary>
    public bool Equals(SensorFaults? other) => other is not null && All.SequenceEqual(other.All);

    /// <inheritdoc/>
    public override int GetHashCode() => All.Count == 0 ? 0 : HashCode.Combine(All.Count, All[0]);
}
