using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.People;
using DriftWatch.Storage.Tables;

namespace DriftWatch.Storage;

/// <summary>People, their sessions and what they did. What is done and its line in the audit log are one transaction.</summary>
public sealed partial class PlantStore
{
    /// <summary>All accounts, by name.</summary>
    public IReadOnlyList<Account> Accounts() => _database.Read(PersonTable.All);

    /// <summary>The account of a person; null for none.</summary>
    public Account? AccountOf(string personId) => _database.Read(session => PersonTable.ById(session, personId));

    /// <summary>The plant's own account of a name, in whatever case the name is written; null for none.</summary>
    public Account? AccountNamed(string name) => _database.Read(session => PersonTable.Named(session, name));

    /// <summary>Adds an account of the plant's own.</summary>
    /// <param name="account">The account; refused when there is one of its name.</param>
    /// <param name="entry">What is written down of it.</param>
    /// <param name="once">The request that asks for it, where it may be repeated.</param>
    public WriteOutcome Add(Account account, AuditEntry entry, Once? once = null) => _database.Write(session =>
    {
        if (TokenTable.Take(session, once) is { } known)
        {
            return known;
        }

        if (PersonTable.Named(session, account.Person.Name) is not null)
        {
            TokenTable.Forget(session, once);
            return WriteOutcome.Refused($"There is already someone named {account.Person.Name}.");
        }

        PersonTable.Put(session, account);
        AuditTable.Add(session, entry);
        return WriteOutcome.Done;
    });

    /// <summary>Changes an account and ends its sessions.</summary>
    /// <param name="personId">Whose.</param>
    /// <param name="change">The account after, from the account before.</param>
    /// <param name="entry">What is written down of it.</param>
    /// <param name="still">Whether the account is still what was seen; null for whatever it is.</param>
    public WriteOutcome Change(string personId, Func<Account, Account> change, AuditEntry entry, Predicate<Account>? still = null) => _database.Write(session =>
    {
        if (PersonTable.ById(session, personId) is not { } before)
        {
            return WriteOutcome.Refused("There is no such person.");
        }

        if (still?.Invoke(before) == false)
        {
            return WriteOutcome.Changed;
        }

        Account after = change(before);
        if (before is { Disabled: false, Person.Role: Role.Administrator } && (after.Disabled || after.Person.Role != Role.Administrator)
            && !PersonTable.All(session).Any(other => other.Person.Id != personId && other is { Disabled: false, Person.Role: Role.Administrator }))
        {
            return WriteOutcome.Refused($"{before.Person.Name} is the last administrator: make another one first.");
        }

        PersonTable.Put(session, after);
        PersonTable.CloseOf(session, personId);
        AuditTable.Add(session, entry);
        return WriteOutcome.Done;
    });

    /// <summary>Replaces the hash of a password by a stronger one of the same password; sessions go on.</summary>
    public void Rehash(string personId, string passwordHash) => _database.Write(session =>
    {
        if (PersonTable.ById(session, personId) is { } account)
        {
            PersonTable.Put(session, account with { PasswordHash = passwordHash });
        }
    });

    /// <summary>The account of a person for whom a provider vouches, made at the first sign-in, with name and role as the provider gives them now.</summary>
    public Account TakeIn(string issuer, string subject, string name, Role role, DateTimeOffset at) => _database.Write(session =>
    {
        Account account = PersonTable.Vouched(session, issuer, subject) is { } known
            ? known with { Person = known.Person with { Name = name, Role = role } }
            : new Account { Person = new Person(Guid.NewGuid().ToString("n"), name, role), Issuer = issuer, Subject = subject, Made = at };
        PersonTable.Put(session, account);
        return account;
    });

    /// <summary>Opens a session; those past the longest life are cleared away.</summary>
    /// <param name="key">Digest of the session's secret.</param>
    /// <param name="personId">Who signs in.</param>
    /// <param name="longestLife">Longest life of a session.</param>
    /// <param name="entry">What is written down of it; its time is the session's beginning.</param>
    public void Open(string key, string personId, TimeSpan longestLife, AuditEntry entry) => _database.Write(session =>
    {
        Account account = PersonTable.ById(session, personId) ?? throw new ArgumentException($"There is no person '{personId}'.", nameof(personId));
        PersonTable.CloseOpenedBefore(session, entry.At - longestLife);
        PersonTable.Put(session, account with { LastSignIn = entry.At });
        PersonTable.Open(session, key, personId, entry.At, entry.From);
        AuditTable.Add(session, entry);
    });

    /// <summary>The session of a key; null when it is not open.</summary>
    public OpenSession? SessionOf(string key) => _database.Read(session => PersonTable.Find(session, key));

    /// <summary>Sessions of a person, the one used last first.</summary>
    public IReadOnlyList<OpenSession> SessionsOf(string personId) => _database.Read(session => PersonTable.SessionsOf(session, personId));

    /// <summary>Remembers that a session was used.</summary>
    public void Seen(string key, DateTimeOffset at) => _database.Write(session => PersonTable.Seen(session, key, at));

    /// <summary>Ends a session.</summary>
    public void Close(string key, AuditEntry entry) => _database.Write(session =>
    {
        PersonTable.Close(session, key);
        AuditTable.Add(session, entry);
    });

    /// <summary>Ends all sessions of a person.</summary>
    public void CloseAll(string personId, AuditEntry entry) => _database.Write(session =>
    {
        PersonTable.CloseOf(session, personId);
        AuditTable.Add(session, entry);
    });

    /// <summary>Writes a line into the audit log.</summary>
    public void Record(AuditEntry entry) => _database.Write(session => AuditTable.Add(session, entry));

    /// <summary>Lines of the audit log before a number, the newest first.</summary>
    /// <param name="number">Number of the first line left out; <see cref="long.MaxValue"/> for the newest lines.</param>
    /// <param name="limit">At most so many; at least 1.</param>
    /// <param name="about">Only what was done to this; null for all.</param>
    /// <param name="search">Only lines with this text in who, what, about or from; null for all.</param>
    public IReadOnlyList<AuditLine> AuditBefore(long number, int limit, string? about = null, string? search = null)
    {
        ArgumentOutOfRangeException.ThrowIfLessThan(limit, 1);
        return _database.Read(session => AuditTable.Before(session, number, limit, about, search));
    }

    /// <summary>Records what someone did to an alarm, and writes it into the audit log.</summary>
    /// <param name="action">What.</param>
    /// <param name="entry">What is written down of it.</param>
    /// <param name="once">The request that asks for it, where it may be repeated.</param>
    /// <param name="still">Whether the alarm is still what was seen; null for whatever it is.</param>
    public WriteOutcome Record(AlarmAction action, AuditEntry entry, Once? once = null, Predicate<Alarm>? still = null) => _database.Write(session =>
    {
        if (TokenTable.Take(session, once) is { } known)
        {
            return known;
        }

        AlarmBook book = AlarmTable.Book(session, action.At, action.VesselId);
        if (still?.Invoke(book.Of(action.VesselId, action.Kind)) == false)
        {
            TokenTable.Forget(session, once);
            return WriteOutcome.Changed;
        }

        if (book.Objection(action) is { } objection)
        {
            TokenTable.Forget(session, once);
            return WriteOutcome.Refused(objection);
        }

        AlarmTable.Add(session, action);
        AuditTable.Add(session, entry);
        return WriteOutcome.Done;
    });

    /// <summary>Keeps a token.</summary>
    /// <param name="token">The token.</param>
    /// <param name="key">Digest of its secret.</param>
    /// <param name="entry">What is written down of it.</param>
    public void Add(AccessToken token, string key, AuditEntry entry) => _database.Write(session =>
    {
        TokenTable.Add(session, token, key);
        AuditTable.Add(session, entry);
    });

    /// <summary>The token of a key, and whose it is; null for none.</summary>
    public (AccessToken Token, Account Account)? TokenOf(string key) => _database.Read<(AccessToken, Account)?>(session =>
        TokenTable.Find(session, key) is { } token && PersonTable.ById(session, token.PersonId) is { } account ? (token, account) : null);

    /// <summary>Tokens of a person, the newest first; of everybody for null.</summary>
    public IReadOnlyList<AccessToken> TokensOf(string? personId) => _database.Read(session => TokenTable.Of(session, personId ?? ""));

    /// <summary>Remembers that a token was used.</summary>
    public void Used(string tokenId, DateTimeOffset at) => _database.Write(session => TokenTable.Used(session, tokenId, at));

    /// <summary>Revokes a token.</summary>
    /// <returns>Whether it was not revoked before.</returns>
    public bool Revoke(string tokenId, AuditEntry entry) => _database.Write(session =>
    {
        bool revoked = TokenTable.Revoke(session, tokenId, entry.At);
        if (revoked)
        {
            AuditTable.Add(session, entry);
        }

        return revoked;
    });
}
