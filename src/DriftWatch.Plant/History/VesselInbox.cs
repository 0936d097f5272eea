namespace DriftWatch.Plant.History;

/// <summary>That readings of a vessel wait to be taken in.</summary>
/// <param name="VesselId">The vessel.</param>
/// <param name="InboxSequence">Newest entry: everything up to it is covered by a step that names it.</param>
/// <param name="Earliest">Earliest instant among the waiting readings, UTC.</param>
public sealed record VesselInbox(string VesselId, long InboxSequence, DateTimeOffset Earliest);
