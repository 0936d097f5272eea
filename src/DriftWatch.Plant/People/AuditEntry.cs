namespace DriftWatch.Plant.People;

/// <summary>What someone did, kept for good.</summary>
/// <param name="At">When, UTC.</param>
/// <param name="PersonId">Who; empty where nobody had signed in.</param>
/// <param name="PersonName">The name at that time, or the one that was tried.</param>
/// <param name="From">From where: a network address, or 'command line'.</param>
/// <param name="What">What, in few words: 'signed in', 'alarm shelved'.</param>
/// <param name="About">What it was done to: a vessel's id, a person's name; empty for nothing.</param>
/// <param name="Before">State before; empty where there was none.</param>
/// <param name="After">State after, or the reason given.</param>
public sealed record AuditEntry(
    DateTimeOffset At, string PersonId, string PersonName, string From, string What, string About = "", string Before = "", string After = "");
