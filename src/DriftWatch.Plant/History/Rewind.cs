namespace DriftWatch.Plant.History;

/// <summary>
/// What a step that starts from an earlier state makes void. It starts no earlier than raw readings are held: windows before
/// stay as they are.
/// </summary>
/// <param name="CheckpointsAfter">Checkpoints of later instants are void, UTC.</param>
/// <param name="WindowsAfter">
/// Windows that start later are void, UTC; before <paramref name="CheckpointsAfter"/> when a rest was going on there.
/// </param>
public sealed record Rewind(DateTimeOffset CheckpointsAfter, DateTimeOffset WindowsAfter);
