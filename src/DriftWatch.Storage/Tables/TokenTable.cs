using DriftWatch.Plant.People;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Access tokens by the digest of their secret, and requests that programs may repeat.</summary>
internal static class TokenTable
{
    public const string Creation =
        """
        CREATE TABLE token (
            id TEXT NOT NULL PRIMARY KEY,
            key TEXT NOT NULL UNIQUE,
            person TEXT NOT NULL REFERENCES person,
            name TEXT NOT NULL,
            role TEXT NOT NULL,
            made INTEGER NOT NULL,
            expires INTEGER NOT NULL,
            used INTEGER,
            revoked INTEGER
        ) STRICT;
        CREATE INDEX token_person ON token (person);
        CREATE TABLE once (
            person TEXT NOT NULL,
            key TEXT NOT NULL,
            digest TEXT NOT NULL,
            at INTEGER NOT NULL,
            PRIMARY KEY (person, key)
        ) STRICT;
        CREATE INDEX once_at ON once (at);
        """;

    /// <summary>Every token, by its id.</summary>
    public const string Rows = $"SELECT {Columns} FROM token";

    private const string Columns = "id, person, name, role, made, expires, used, revoked";

    /// <summary>How long a request is remembered.</summary>
    private static readonly TimeSpan Remembered = TimeSpan.FromDays(7);

    public static void Add(Session session, AccessToken token, string key) =>
        session
            .Prepare("INSERT INTO token (id, key, person, name, role, made, expires) VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7)")
            .Bind(1, token.Id)
            .Bind(2, key)
            .Bind(3, token.PersonId)
            .Bind(4, token.Name)
            .Bind(5, token.Role.ToString())
            .Bind(6, token.Made.UtcTicks)
            .Bind(7, token.Expires.UtcTicks)
            .Run();

    public static AccessToken? Find(Session session, string key)
    {
        Statement row = session.Prepare($"SELECT {Columns} FROM token WHERE key = ?1").Bind(1, key);
        AccessToken? token = row.Row() ? Read(row) : null;
        _ = row.Reset();
        return token;
    }

    /// <summary>Tokens of a person, or of everybody for an empty id, the newest first.</summary>
    public static IReadOnlyList<AccessToken> Of(Session session, string personId)
    {
        Statement row = session.Prepare($"SELECT {Columns} FROM token WHERE ?1 = '' OR person = ?1 ORDER BY made DESC, id").Bind(1, personId);
        List<AccessToken> tokens = [];
        while (row.Row())
        {
            tokens.Add(Read(row));
        }

        return tokens;
    }

    public static void Used(Session session, string id, DateTimeOffset at) =>
        session.Prepare("UPDATE token SET used = ?2 WHERE id = ?1").Bind(1, id).Bind(2, at.UtcTicks).Run();

    public static bool Revoke(Session session, string id, DateTimeOffset at) =>
        session.Prepare("UPDATE token SET revoked = ?2 WHERE id = ?1 AND revoked IS NULL").Bind(1, id).Bind(2, at.UtcTicks).Run() > 0;

    /// <summary>Remembers a request.</summary>
    /// <returns>Null when it is new; otherwise what it is.</returns>
    public static WriteOutcome? Take(Session session, Once? once)
    {
        if (once is null)
        {
            return null;
        }

        _ = session.Prepare("DELETE FROM once WHERE at < ?1").Bind(1, (once.At - Remembered).UtcTicks).Run();
        Statement row = session.Prepare("SELECT digest FROM once WHERE person = ?1 AND key = ?2").Bind(1, once.PersonId).Bind(2, once.Key);
        string? known = row.Row() ? row.Text(0) : null;
        _ = row.Reset();
        if (known is not null)
        {
            return known == once.Digest ? WriteOutcome.Repeated : WriteOutcome.KeyUsed;
        }

        _ = session
            .Prepare("INSERT INTO once (person, key, digest, at) VALUES (?1, ?2, ?3, ?4)")
            .Bind(1, once.PersonId)
            .Bind(2, once.Key)
            .Bind(3, once.Digest)
            .Bind(4, once.At.UtcTicks)
            .Run();
        return null;
    }

    /// <summary>Forgets a request that was refused: repeated, it is looked at anew.</summary>
    public static void Forget(Session session, Once? once)
    {
        if (once is not null)
        {
            _ = session.Prepare("DELETE FROM once WHERE person = ?1 AND key = ?2").Bind(1, once.PersonId).Bind(2, once.Key).Run();
        }
    }

    /// <summary>The token in a row of <see cref="Rows"/>.</summary>
    internal static AccessToken Read(Statement row) => new(
        row.Text(0), row.Text(1), row.Text(2), Enum.TryParse(row.Text(3), out Role role) ? role : Role.Viewer,
        Instants.FromTicks(row.Long(4)), Instants.FromTicks(row.Long(5)),
        row.IsNull(6) ? null : Instants.FromTicks(row.Long(6)), row.IsNull(7) ? null : Instants.FromTicks(row.Long(7)));
}
