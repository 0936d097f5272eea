using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Numbers that there is one of.</summary>
internal static class MarkTable
{
    /// <summary>Newest day (since 0001-01-01) of which blocks may stand.</summary>
    public const string Sealed = "sealed";

    /// <summary>Newest day whose raw readings are past their retention.</summary>
    public const string Expired = "expired";

    /// <summary>Number of the newest commit with readings.</summary>
    public const string Commit = "commit";

    /// <summary>Bytes of the samples in quarantine; triggers keep it.</summary>
    public const string QuarantinedBytes = "quarantined bytes";

    /// <summary>Points in the spool; triggers keep it.</summary>
    public const string SpooledPoints = "spooled points";

    /// <summary>Points that the spool gave up, as it had too many.</summary>
    public const string SpoolGivenUp = "spool given up";

    /// <summary>When a copy was put back as this store, ticks; not there where none was.</summary>
    public const string PutBack = "put back";

    /// <summary>The number as it stands, 0 where it is not there.</summary>
    public static long Get(Session session, string name) =>
        session.Prepare("SELECT value FROM mark WHERE name = ?1").Bind(1, name).First() ?? 0;

    public static void Raise(Session session, string name, long value) =>
        session.Prepare("UPDATE mark SET value = ?2 WHERE name = ?1 AND value < ?2").Bind(1, name).Bind(2, value).Run();

    /// <summary>Makes it this, whether it was there or not.</summary>
    public static void Set(Session session, string name, long value) =>
        session.Prepare("INSERT INTO mark VALUES (?1, ?2) ON CONFLICT (name) DO UPDATE SET value = ?2").Bind(1, name).Bind(2, value).Run();

    /// <summary>Writes something.</summary>
    public static void Probe(Session session) =>
        session.Prepare("INSERT INTO mark VALUES ('probe', 1) ON CONFLICT (name) DO UPDATE SET value = value + 1").Run();

    /// <summary>The number of the next commit with readings.</summary>
    public static long NextCommit(Session session)
    {
        _ = session.Prepare("UPDATE mark SET value = value + 1 WHERE name = 'commit'").Run();
        return Get(session, Commit);
    }
}
