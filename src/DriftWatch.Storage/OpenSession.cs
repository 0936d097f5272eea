using DriftWatch.Plant.People;

namespace DriftWatch.Storage;

/// <summary>A session that someone has signed in to.</summary>
/// <param name="Account">Who.</param>
/// <param name="Opened">When it was opened, UTC.</param>
/// <param name="Seen">When it was last used, UTC, to the minute.</param>
/// <param name="From">Network address that it was opened from.</param>
public sealed record OpenSession(Account Account, DateTimeOffset Opened, DateTimeOffset Seen, string From);
