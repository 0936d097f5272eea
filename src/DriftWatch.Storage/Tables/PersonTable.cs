using DriftWatch.Plant.People;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>People, how they sign in, and the sessions they have open.</summary>
internal static class PersonTable
{
    public const string Creation =
        """
        CREATE TABLE person (
            id TEXT NOT NULL PRIMARY KEY,
            name TEXT NOT NULL COLLATE NOCASE,
            role TEXT NOT NULL,
            issuer TEXT NOT NULL,
            subject TEXT NOT NULL,
            password_hash TEXT NOT NULL,
            must_change INTEGER NOT NULL,
            disabled INTEGER NOT NULL,
            made INTEGER NOT NULL,
            last_sign_in INTEGER
        ) STRICT;
        CREATE UNIQUE INDEX person_own ON person (name) WHERE issuer = '';
        CREATE UNIQUE INDEX person_vouched ON person (issuer, subject) WHERE issuer <> '';
        CREATE TABLE session (
            key TEXT NOT NULL PRIMARY KEY,
            person TEXT NOT NULL REFERENCES person,
            opened INTEGER NOT NULL,
            seen INTEGER NOT NULL,
            origin TEXT NOT NULL
        ) STRICT;
        CREATE INDEX session_person ON session (person);
        """;

    /// <summary>Every account, by its id.</summary>
    public const string Rows = $"SELECT {Columns} FROM person AS p";

    private const string Columns = "p.id, p.name, p.role, p.issuer, p.subject, p.password_hash, p.must_change, p.disabled, p.made, p.last_sign_in";

    public static IReadOnlyList<Account> All(Session session)
    {
        Statement row = session.Prepare($"SELECT {Columns} FROM person AS p ORDER BY p.name, p.id");
        List<Account> accounts = [];
        while (row.Row())
        {
            accounts.Add(Read(row));
        }

        return accounts;
    }

    public static Account? ById(Session session, string id) =>
        One(session.Prepare($"SELECT {Columns} FROM person AS p WHERE p.id = ?1").Bind(1, id));

    /// <summary>The plant's own account of a name, in whatever case the name is written.</summary>
    public static Account? Named(Session session, string name) =>
        One(session.Prepare($"SELECT {Columns} FROM person AS p WHERE p.name = ?1 AND p.issuer = ''").Bind(1, name));

    public static Account? Vouched(Session session, string issuer, string subject) =>
        One(session.Prepare($"SELECT {Columns} FROM person AS p WHERE p.issuer = ?1 AND p.subject = ?2").Bind(1, issuer).Bind(2, subject));

    public static void Put(Session session, Account account)
    {
        Statement put = session
            .Prepare(
                """
                INSERT INTO person (id, name, role, issuer, subject, password_hash, must_change, disabled, made, last_sign_in)
                VALUES (?1, ?2, ?3, ?4, ?5, ?6, ?7, ?8, ?9, nullif(?10, -1))
                ON CONFLICT (id) DO UPDATE SET name = ?2, role = ?3, password_hash = ?6, must_change = ?7, disabled = ?8, last_sign_in = nullif(?10, -1)
                """)
            .Bind(1, account.Person.Id)
            .Bind(2, account.Person.Name)
            .Bind(3, account.Person.Role.ToString())
            .Bind(4, account.Issuer)
            .Bind(5, account.Subject)
            .Bind(6, account.PasswordHash)
            .Bind(7, account.MustChange ? 1L : 0L)
            .Bind(8, account.Disabled ? 1L : 0L)
            .Bind(9, account.Made.UtcTicks)
            .Bind(10, account.LastSignIn?.UtcTicks ?? -1L);
        _ = put.Run();
    }

    public static void Open(Session session, string key, string personId, DateTimeOffset at, string from) =>
        session
            .Prepare("INSERT INTO session (key, person, opened, seen, origin) VALUES (?1, ?2, ?3, ?3, ?4)")
            .Bind(1, key)
            .Bind(2, personId)
            .Bind(3, at.UtcTicks)
            .Bind(4, from)
            .Run();

    public static OpenSession? Find(Session session, string key)
    {
        Statement row = session
            .Prepare($"SELECT {Columns}, s.opened, s.seen, s.origin FROM session AS s JOIN person AS p ON p.id = s.person WHERE s.key = ?1")
            .Bind(1, key);
        OpenSession? found = row.Row()
            ? new OpenSession(Read(row), Instants.FromTicks(row.Long(10)), Instants.FromTicks(row.Long(11)), row.Text(12))
            : null;
        _ = row.Reset();
        return found;
    }

    public static IReadOnlyList<OpenSession> SessionsOf(Session session, string personId)
    {
        Statement row = session
            .Prepare($"SELECT {Columns}, s.opened, s.seen, s.origin FROM session AS s JOIN person AS p ON p.id = s.person WHERE s.person = ?1 ORDER BY s.seen DESC")
            .Bind(1, personId);
        List<OpenSession> found = [];
        while (row.Row())
        {
            found.Add(new OpenSession(Read(row), Instants.FromTicks(row.Long(10)), Instants.FromTicks(row.Long(11)), row.Text(12)));
        }

        return found;
    }

    public static void Seen(Session session, string key, DateTimeOffset at) =>
        session.Prepare("UPDATE session SET seen = max(seen, ?2) WHERE key = ?1").Bind(1, key).Bind(2, at.UtcTicks).Run();

    public static void Close(Session session, string key) => session.Prepare("DELETE FROM session WHERE key = ?1").Bind(1, key).Run();

    public static void CloseOf(Session session, string personId) =>
        session.Prepare("DELETE FROM session WHERE person = ?1").Bind(1, personId).Run();

    public static void CloseAll(Session session) => session.Prepare("DELETE FROM session").Run();

    public static void CloseOpenedBefore(Session session, DateTimeOffset instant) =>
        session.Prepare("DELETE FROM session WHERE opened < ?1").Bind(1, instant.UtcTicks).Run();

    private static Account? One(Statement row)
    {
        Account? account = row.Row() ? Read(row) : null;
        _ = row.Reset();
        return account;
    }

    /// <summary>The account in a row of <see cref="Rows"/>.</summary>
    internal static Account Read(Statement row) => new()
    {
        Person = new Person(
            row.Text(0), row.Text(1), Enum.TryParse(row.Text(2), out Role role) ? role : throw new StoreUnavailableException($"Person '{row.Text(1)}' has the role '{row.Text(2)}', which this version does not know.")),
        Issuer = row.Text(3),
        Subject = row.Text(4),
        PasswordHash = row.Text(5),
        MustChange = row.Long(6) != 0,
        Disabled = row.Long(7) != 0,
        Made = Instants.FromTicks(row.Long(8)),
        LastSignIn = row.IsNull(9) ? null : Instants.FromTicks(row.Long(9)),
    };
}
