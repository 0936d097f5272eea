namespace DriftWatch.Plant.People;

/// <summary>What a program shows in place of a person. Its secret is not kept, only the digest.</summary>
/// <param name="Id">Names the token without giving it away.</param>
/// <param name="PersonId">Whose it is: it may do no more than that person may at the time.</param>
/// <param name="Name">What it is for.</param>
/// <param name="Role">What it may do at most.</param>
/// <param name="Made">When it was made, UTC.</param>
/// <param name="Expires">When it ends, UTC.</param>
/// <param name="LastUsed">When it was last used, UTC, to the hour; null for never.</param>
/// <param name="Revoked">When it was revoked, UTC; null when it was not.</param>
public sealed record AccessToken(
    string Id, string PersonId, string Name, Role Role, DateTimeOffset Made, DateTimeOffset Expires, DateTimeOffset? LastUsed, DateTimeOffset? Revoked);
