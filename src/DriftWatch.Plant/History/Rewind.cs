namespace DriftWatch.Plant.History;

/// <summary>What a step that starts from an earlier state makes void.</summary>
/// <param name="CheckpointsAfter">Checkpoints of later instants are void, UTC.</param>
/// <param name="WindowsAfter">
/// Windows that start later are void, UTC; before <paramref name="CheckpointsAfter"/> when a rest was going on there.
/// </param>
public sealed record Rewind(DateTimeOffset CheckpointsAfter, DateTimeOffset WindowsAfter);
