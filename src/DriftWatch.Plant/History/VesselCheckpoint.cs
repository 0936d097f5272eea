namespace DriftWatch.Plant.History;

/// <summary>
/// State of one vessel's assessment after its readings up to an instant: enough to go on from there, and kept for a
/// while so that late readings can be taken in from the last state before them.
/// </summary>
/// <param name="Instant">Instant of the last reading taken in, UTC.</param>
/// <param name="State">Serialised state; its own format carries a version.</param>
public sealed record VesselCheckpoint(DateTimeOffset Instant, ReadOnlyMemory<byte> State);
