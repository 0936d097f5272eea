namespace DriftWatch.Storage.Tests.Support;

/// <summary>The tables as the first release made them: what a file in the field looks like.</summary>
internal static class FirstSchema
{
    public const string Script =
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

        """;
}
