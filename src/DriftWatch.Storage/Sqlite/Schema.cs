using System.Globalization;
using DriftWatch.Storage.Tables;

namespace DriftWatch.Storage.Sqlite;

/// <summary>
/// The tables, as a list of steps. <c>user_version</c> counts the steps a file has taken; a released step is never
/// changed, only followed by another.
/// </summary>
internal static class Schema
{
    /// <summary>
    /// Instants are UTC ticks (100 ns since 0001-01-01), which is all that a <see cref="DateTimeOffset"/> holds.
    /// Sequences that others hold on to are AUTOINCREMENT: a number is never used again after its row is gone.
    /// </summary>
    private static readonly string[] Steps =
    [
        """
        CREATE TABLE vessel (
            id INTEGER PRIMARY KEY,
            name TEXT NOT NULL UNIQUE,
            readings INTEGER NOT NULL DEFAULT 0
        ) STRICT;
        CREATE TABLE reading (
            vessel INTEGER NOT NULL,
            instant INTEGER NOT NULL,
            signal INTEGER NOT NULL,
            value REAL NOT NULL,
            PRIMARY KEY (vessel, instant, signal)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE inbox (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            vessel INTEGER NOT NULL REFERENCES vessel,
            earliest INTEGER NOT NULL
        ) STRICT;
        CREATE INDEX inbox_vessel ON inbox (vessel);
        CREATE TABLE quarantine_source (
            id INTEGER PRIMARY KEY,
            name TEXT NOT NULL UNIQUE,
            messages INTEGER NOT NULL,
            newest INTEGER NOT NULL
        ) STRICT;
        CREATE INDEX quarantine_source_newest ON quarantine_source (newest);
        CREATE TABLE quarantine (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            source INTEGER NOT NULL REFERENCES quarantine_source ON DELETE CASCADE,
            arrived INTEGER NOT NULL,
            reason TEXT NOT NULL,
            payload BLOB NOT NULL
        ) STRICT;
        CREATE INDEX quarantine_by_source ON quarantine (source, sequence);
        CREATE TABLE precharge_window (
            vessel INTEGER NOT NULL REFERENCES vessel,
            start INTEGER NOT NULL,
            document TEXT NOT NULL,
            PRIMARY KEY (vessel, start)
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE assessment (
            vessel INTEGER PRIMARY KEY REFERENCES vessel,
            document TEXT NOT NULL
        ) STRICT;
        CREATE TABLE checkpoint (
            vessel INTEGER NOT NULL REFERENCES vessel,
            instant INTEGER NOT NULL,
            state BLOB NOT NULL,
            PRIMARY KEY (vessel, instant)
        ) STRICT;
        CREATE TABLE job (
            key TEXT NOT NULL PRIMARY KEY,
            vessel INTEGER NOT NULL REFERENCES vessel,
            raised INTEGER NOT NULL,
            closed INTEGER,
            closed_because TEXT,
            document TEXT NOT NULL
        ) STRICT;
        CREATE INDEX job_vessel ON job (vessel, raised);
        CREATE TABLE notice (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            key TEXT NOT NULL UNIQUE,
            document TEXT NOT NULL
        ) STRICT;
        CREATE TABLE delivery (
            channel TEXT NOT NULL,
            sequence INTEGER NOT NULL REFERENCES notice,
            delivered INTEGER NOT NULL DEFAULT 0,
            tries INTEGER NOT NULL DEFAULT 0,
            last_error TEXT,
            PRIMARY KEY (channel, sequence)
        ) STRICT, WITHOUT ROWID;
        CREATE INDEX delivery_pending ON delivery (channel, sequence) WHERE delivered = 0;
        """,
        AlarmTable.Creation,
        JobTable.Revisions,

        // Recent readings stand by slots of 216 s (400 a day), all vessels of a slot together, so that a commit touches
        // few pages however many vessels it has readings of; days that are over become one block a vessel.
        // within = ticks into the slot * 8 + signal; block id = vessel << 22 | day.
        """
        CREATE TABLE recent (
            slot INTEGER NOT NULL,
            vessel INTEGER NOT NULL,
            within INTEGER NOT NULL,
            value REAL NOT NULL,
            PRIMARY KEY (slot, vessel, within)
        ) STRICT, WITHOUT ROWID;
        INSERT INTO recent SELECT instant / 2160000000, vessel, (instant % 2160000000) * 8 + signal, value FROM reading;
        ALTER TABLE vessel ADD COLUMN earliest INTEGER;
        ALTER TABLE vessel ADD COLUMN latest INTEGER;
        UPDATE vessel SET
            earliest = (SELECT min(instant) FROM reading WHERE vessel = vessel.id),
            latest = (SELECT max(instant) FROM reading WHERE vessel = vessel.id);
        DROP TABLE reading;
        CREATE TABLE reading_block (id INTEGER PRIMARY KEY, readings INTEGER NOT NULL, content BLOB NOT NULL) STRICT;
        CREATE TABLE roll_up (id INTEGER PRIMARY KEY, content BLOB NOT NULL) STRICT;
        CREATE TABLE mark (name TEXT PRIMARY KEY, value INTEGER NOT NULL) STRICT, WITHOUT ROWID;
        INSERT INTO mark VALUES
            ('commit', coalesce((SELECT seq FROM sqlite_sequence WHERE name = 'inbox'), 0)), ('sealed', -1), ('expired', -1);
        CREATE TABLE waiting (
            vessel INTEGER PRIMARY KEY REFERENCES vessel,
            sequence INTEGER NOT NULL,
            earliest INTEGER NOT NULL,
            latest INTEGER NOT NULL,
            readings INTEGER NOT NULL
        ) STRICT;
        INSERT INTO waiting SELECT vessel, max(sequence), min(earliest), min(earliest), 0 FROM inbox GROUP BY vessel;
        DROP TABLE inbox;
        """,

        """
        CREATE TABLE spool (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            kind INTEGER NOT NULL,
            vessel TEXT NOT NULL,
            points INTEGER NOT NULL,
            content BLOB NOT NULL
        ) STRICT;
        """,

        // Dead letters, the vessel of a notice to keep the order by, and the answers of the queues.
        """
        ALTER TABLE notice ADD COLUMN vessel TEXT NOT NULL DEFAULT '';
        UPDATE notice SET vessel = json_extract(document, '$.Job.VesselId');
        ALTER TABLE delivery ADD COLUMN refusals INTEGER NOT NULL DEFAULT 0;
        ALTER TABLE delivery ADD COLUMN set_aside INTEGER;
        DROP INDEX delivery_pending;
        CREATE INDEX delivery_pending ON delivery (channel, sequence) WHERE delivered = 0 AND set_aside IS NULL;
        CREATE INDEX delivery_set_aside ON delivery (channel, sequence) WHERE set_aside IS NOT NULL;
        CREATE TABLE answer (
            sequence INTEGER PRIMARY KEY AUTOINCREMENT,
            id TEXT NOT NULL UNIQUE,
            job TEXT NOT NULL REFERENCES job,
            document TEXT NOT NULL,
            via TEXT NOT NULL,
            authority TEXT NOT NULL,
            received INTEGER NOT NULL
        ) STRICT;
        """,

        PersonTable.Creation,
        AuditTable.Creation,
        WorkTable.Creation,
        BasisTable.Creation,
        RegisterAuditTable.Creation,
        VesselTable.Retention,
        TokenTable.Creation,
        AlarmNoticeTable.Creation,
        AlarmNoticeTable.OneOutbox,
        VesselTable.WindowChanges,
        QuarantineTable.Samples,
        SourceMemoryTable.Creation,
        SpoolTable.Sums,
        JobTable.Standing,
    ];

    /// <summary>Number of the newest step.</summary>
    public static int Newest => Steps.Length;

    /// <summary>How many steps come before one.</summary>
    internal static int Before(string step) => Array.IndexOf(Steps, step);

    /// <summary>Brings a file to the newest schema, all missing steps in one transaction.</summary>
    public static void Migrate(Session session, string path) => Migrate(session, path, Newest);

    /// <summary>Brings a file to a schema: an older one than the newest is what an older version would have made.</summary>
    internal static void Migrate(Session session, string path, int upTo)
    {
        if (Taken(session) == upTo)
        {
            return; // Nothing to write: a store on a full disk opens too.
        }

        session.Execute("BEGIN IMMEDIATE");
        try
        {
            int taken = Taken(session);
            if (taken > Steps.Length)
            {
                throw Newer(path, taken);
            }

            for (int step = taken; step < upTo; step++)
            {
                session.ExecuteScript(Steps[step]);
            }

            session.Execute(string.Create(CultureInfo.InvariantCulture, $"PRAGMA user_version = {upTo}"));
            session.Execute("COMMIT");
        }
        catch
        {
            if (session.InTransaction)
            {
                session.Execute("ROLLBACK");
            }

            throw;
        }
    }

    /// <summary>Steps that a store has taken, which this version knows.</summary>
    /// <exception cref="StoreUnavailableException">It is no store, or a newer version has written it.</exception>
    public static int TakenByStore(Session session, string path)
    {
        int taken = Taken(session);
        return taken == 0 ? throw new StoreUnavailableException($"'{path}' is no store of this program: name one, or a copy that 'store backup' made.")
            : taken > Steps.Length ? throw Newer(path, taken)
            : taken;
    }

    /// <summary>Steps that a file has taken.</summary>
    public static int Taken(Session session) => (int)session.Prepare("PRAGMA user_version").First()!.Value;

    private static StoreUnavailableException Newer(string path, int taken) => new(
        $"Store '{path}' has schema {taken}, newer than the {Steps.Length} that this version knows: run the newer version, or restore a copy from before the update.");
}
