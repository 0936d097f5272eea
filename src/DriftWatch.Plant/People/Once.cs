namespace DriftWatch.Plant.People;

/// <summary>A request that its sender may repeat without it being done twice.</summary>
/// <param name="PersonId">Who sends it.</param>
/// <param name="Key">The sender's own name for it.</param>
/// <param name="Digest">Digest of what is asked, so that one name for two requests is found out.</param>
/// <param name="At">When it came, UTC.</param>
public sealed record Once(string PersonId, string Key, string Digest, DateTimeOffset At);
