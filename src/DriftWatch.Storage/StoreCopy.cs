using DriftWatch.Plant.People;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Storage.Tables;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage;

/// <summary>Copies of the embedded store: made while a service writes to it, and put back while none does.</summary>
public static class StoreCopy
{
    /// <summary>
    /// Copies a store as it stands at one moment, while others go on reading and writing it. The copy has its name only once
    /// it is whole and on disk.
    /// </summary>
    /// <param name="storePath">The store.</param>
    /// <param name="copyPath">The copy; must not be there yet.</param>
    /// <exception cref="IOException">There is such a file already, there is no store, no folder for the copy, or the copy cannot be written.</exception>
    /// <exception cref="StoreUnavailableException">The store cannot be read.</exception>
    public static void Make(string storePath, string copyPath)
    {
        RequireStore(storePath);
        if (File.Exists(copyPath))
        {
            throw new IOException($"{copyPath} is there already: name a file that is not, so that no older copy is lost.");
        }

        string folder = Path.GetDirectoryName(Path.GetFullPath(copyPath))!;
        if (!Directory.Exists(folder))
        {
            // Not made: a disk for copies that is not mounted would go unnoticed.
            throw new DirectoryNotFoundException($"There is no folder {folder}: make it, or mount the disk that holds it.");
        }

        string unfinished = copyPath + ".unfinished";
        File.Delete(unfinished);
        try
        {
            using (SqliteConnection store = Open(storePath, SqliteOpenMode.ReadOnly))
            using (SqliteConnection copy = Open(unfinished, SqliteOpenMode.ReadWriteCreate))
            {
                // One read of one state: the write-ahead log lets commits go on meanwhile.
                store.BackupDatabase(copy);
                Execute(copy, "PRAGMA journal_mode = DELETE");
            }

            Flush(unfinished);
            File.Move(unfinished, copyPath);
        }
        catch (SqliteException failure)
        {
            File.Delete(unfinished);
            throw StoreFailure.From(failure, storePath);
        }
        catch
        {
            File.Delete(unfinished);
            throw;
        }
    }

    /// <summary>
    /// Puts a copy in the place of a store: brought to this version's schema, looked through, its revisions put ahead of all that the
    /// queues were told since, no session of pages open, and a line of its audit log about it. What was there stays beside it under another name.
    /// </summary>
    /// <param name="copyPath">The copy; it is left as it is.</param>
    /// <param name="storePath">The store.</param>
    /// <param name="line">Who puts it back and when: for the audit log. The moment is part of the name of what was there.</param>
    /// <returns>What was found in it. Where that is a fault, nothing has changed.</returns>
    /// <exception cref="StoreUnavailableException">
    /// A service or command has the store open, the store cannot be closed, or the copy is none, is damaged, or was written by a newer version.
    /// </exception>
    /// <exception cref="IOException">The copy is not there, or a file cannot be written.</exception>
    public static RestoredCopy PutBack(string copyPath, string storePath, AuditEntry line)
    {
        RequireStore(copyPath);
        string? before = null;
        _ = Directory.CreateDirectory(Path.GetDirectoryName(Path.GetFullPath(storePath))!);
        CloseLog(storePath);
        string incoming = storePath + ".incoming";
        try
        {
            Remove(incoming);
            File.Copy(copyPath, incoming);
            (StoreReport report, int formerSchema) = Prepare(incoming, copyPath, line);
            if (report.Faults.Count > 0)
            {
                Remove(incoming);
                return new RestoredCopy(report, formerSchema, null);
            }

            Flush(incoming);

            // Copying takes its time, in which somebody may have opened the store.
            CloseLog(storePath);

            // A log of the store before would be taken for one of the copy.
            File.Delete(storePath + "-wal");
            File.Delete(storePath + "-shm");
            if (File.Exists(storePath))
            {
                string aside = FormattableString.Invariant($"{storePath}.before-{line.At.UtcDateTime:yyyyMMdd'T'HHmmss'Z'}");
                File.Move(storePath, aside);
                before = aside;
            }

            File.Move(incoming, storePath);
            return new RestoredCopy(report, formerSchema, before);
        }
        catch
        {
            Remove(incoming);
            if (before is not null && File.Exists(before) && !File.Exists(storePath))
            {
                File.Move(before, storePath);
            }

            throw;
        }
    }

    /// <summary>Makes of a copy's copy what is put in the place of the store. The copy itself stays as it is.</summary>
    private static (StoreReport Report, int FormerSchema) Prepare(string incoming, string copyPath, AuditEntry line)
    {
        try
        {
            int formerSchema;
            using (Session session = new(incoming, SqliteOpenMode.ReadWrite, TimeSpan.Zero))
            {
                formerSchema = Schema.TakenByStore(session, copyPath);

                // A copy made by other means says of itself that a log stands beside it.
                session.Execute("PRAGMA journal_mode = DELETE");
                Schema.Migrate(session, copyPath);
            }

            StoreReport report = StoreVerification.Of(incoming, copyPath);
            if (report.Faults.Count == 0)
            {
                using Session session = new(incoming, SqliteOpenMode.ReadWrite, TimeSpan.Zero);
                session.Execute("BEGIN IMMEDIATE");
                RestoredNumbers.PutAhead(session);
                MarkTable.Set(session, MarkTable.PutBack, line.At.UtcTicks);

                // Who has signed out, or was signed out, since the copy was made is not signed in by it.
                PersonTable.CloseAll(session);
                AuditTable.Add(session, line);
                session.Execute("COMMIT");
            }

            return (report, formerSchema);
        }
        catch (SqliteException failure)
        {
            throw StoreFailure.From(failure, copyPath);
        }
    }

    private static void Remove(string incoming)
    {
        foreach (string ending in (string[])["", "-journal", "-wal", "-shm"])
        {
            File.Delete(incoming + ending);
        }
    }

    /// <summary>Brings what is in the log into the file; refused while anyone else has it open.</summary>
    private static void CloseLog(string storePath)
    {
        if (!File.Exists(storePath))
        {
            return;
        }

        try
        {
            using SqliteConnection store = Open(storePath, SqliteOpenMode.ReadWrite);
            Execute(store, "PRAGMA busy_timeout = 0");
            Execute(store, "PRAGMA journal_mode = DELETE");
        }
        catch (SqliteException failure) when (failure.SqliteErrorCode is SQLitePCL.raw.SQLITE_CORRUPT or SQLitePCL.raw.SQLITE_NOTADB)
        {
            // What is damaged is what a copy is put back for; it is moved aside with its log as it is.
            foreach (string log in (string[])[storePath + "-wal", storePath + "-shm"])
            {
                if (File.Exists(log))
                {
                    File.Move(log, log + ".damaged", overwrite: true);
                }
            }
        }
        catch (SqliteException failure) when (failure.SqliteErrorCode is SQLitePCL.raw.SQLITE_BUSY or SQLitePCL.raw.SQLITE_LOCKED)
        {
            throw new StoreUnavailableException(
                $"Store '{storePath}' is in use: stop the service and every command that has it open, then put the copy back. ({failure.Message})", failure);
        }
        catch (SqliteException failure)
        {
            throw StoreFailure.From(failure, storePath);
        }
    }

    private static void RequireStore(string path)
    {
        if (!File.Exists(path))
        {
            throw new FileNotFoundException($"There is no file {path}.", path);
        }
    }

    private static SqliteConnection Open(string path, SqliteOpenMode mode)
    {
        SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = path, Mode = mode, Pooling = false }.ConnectionString);
        try
        {
            connection.Open();
            return connection;
        }
        catch
        {
            connection.Dispose();
            throw;
        }
    }

    private static void Execute(SqliteConnection connection, string pragma)
    {
        using SqliteCommand command = connection.CreateCommand();
#pragma warning disable CA2100 // Pragmas of this file.
        command.CommandText = pragma;
#pragma warning restore CA2100
        _ = command.ExecuteNonQuery();
    }

    private static void Flush(string path)
    {
        using FileStream file = new(path, FileMode.Open, FileAccess.ReadWrite);
        file.Flush(flushToDisk: true);
    }
}
