using System.Collections.Concurrent;
using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Sqlite;

/// <summary>
/// The database file: one connection that writes, guarded by a lock, and as many that read as are needed. The
/// write-ahead log lets readers go on while a write is under way; <c>synchronous = FULL</c> makes a commit survive a
/// loss of power.
/// </summary>
internal sealed class Database : IDisposable
{
    private readonly string _path;
    private readonly TimeSpan _lockTimeout;
    private readonly Lock _writing = new();
    private readonly ConcurrentBag<Session> _idleReaders = [];
    private readonly Session _writer;
    private volatile bool _disposed;

    public Database(string path, TimeSpan lockTimeout)
    {
        _path = Path.GetFullPath(path);
        _lockTimeout = lockTimeout;
        _writer = Translated(OpenWriter);
    }

    /// <summary>Called after a write was rolled back, still under the lock: what was remembered of it is void.</summary>
    public event Action? RolledBack;

    /// <summary>Runs a write in one transaction: when it returns all of it is durable, when it throws nothing is changed.</summary>
    public void Write(Action<Session> work) => _ = Write(session =>
    {
        work(session);
        return true;
    });

    /// <inheritdoc cref="Write(Action{Session})"/>
    public T Write<T>(Func<Session, T> work)
    {
        lock (_writing)
        {
            ObjectDisposedException.ThrowIf(_disposed, this);
            return Translated(() => WriteNeedsLock(work));
        }
    }

    /// <summary>Runs reads that see one state of the database.</summary>
    public T Read<T>(Func<Session, T> work)
    {
        Session session = RentReader();
        try
        {
            return Translated(() => work(session));
        }
        finally
        {
            ReturnReader(session);
        }
    }

    /// <summary>A reading connection at one state of the database, for as long as it is held; to be given back.</summary>
    public Session RentReader()
    {
        ObjectDisposedException.ThrowIf(_disposed, this);
        return Translated(() =>
        {
            Session session = _idleReaders.TryTake(out Session? idle)
                ? idle
                : new Session(_path, SqliteOpenMode.ReadOnly, _lockTimeout);
            try
            {
                session.Prepare("BEGIN").Run();
                return session;
            }
            catch
            {
                session.Dispose();
                throw;
            }
        });
    }

    /// <summary>Takes a reading connection back.</summary>
    public void ReturnReader(Session session)
    {
        try
        {
            session.ResetAll();
            if (session.InTransaction)
            {
                session.Prepare("ROLLBACK").Run();
            }
        }
        catch (SqliteException)
        {
            // A connection in doubt is not used again; the next reader opens its own.
            session.Dispose();
            return;
        }

        if (_disposed)
        {
            session.Dispose();
        }
        else
        {
            _idleReaders.Add(session);
        }
    }

    /// <summary>Runs something on the database and says in the store's own words what went wrong.</summary>
    public T Translated<T>(Func<T> work)
    {
        try
        {
            return work();
        }
        catch (SqliteException failure)
        {
            throw StoreFailure.From(failure, _path);
        }
    }

    public void Dispose()
    {
        lock (_writing)
        {
            if (_disposed)
            {
                return;
            }

            _disposed = true;
        }

        while (_idleReaders.TryTake(out Session? session))
        {
            session.Dispose();
        }

        _writer.Dispose();
    }

    private Session OpenWriter()
    {
        try
        {
            _ = Directory.CreateDirectory(Path.GetDirectoryName(_path)!);
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException)
        {
            throw new StoreUnavailableException(
                $"The folder of the store '{_path}' cannot be made: {failure.Message} Name a folder that this user may write to.",
                failure);
        }

        Session session = new(_path, SqliteOpenMode.ReadWriteCreate, _lockTimeout);
        try
        {
            session.Execute("PRAGMA journal_mode = WAL");
            session.Execute("PRAGMA synchronous = FULL");
            session.Execute("PRAGMA foreign_keys = ON");
            // 16 MiB of pages: the last page of each vessel stays in memory up to some thousands of vessels; with more, the system's own
            // cache of the file is near, and a benchmark sees no difference.
            session.Execute("PRAGMA cache_size = -16384");
            // 16 MiB of log between copies into the main file; the file is cut back after a burst.
            session.Execute("PRAGMA wal_autocheckpoint = 4096");
            session.Execute("PRAGMA journal_size_limit = 67108864");
            Schema.Migrate(session, _path);
            return session;
        }
        catch
        {
            session.Dispose();
            throw;
        }
    }

    private T WriteNeedsLock<T>(Func<Session, T> work)
    {
        _writer.Prepare("BEGIN IMMEDIATE").Run();
        try
        {
            T result = work(_writer);
            _writer.Prepare("COMMIT").Run();
            return result;
        }
        catch
        {
            _writer.ResetAll();
            if (_writer.InTransaction)
            {
                _writer.Prepare("ROLLBACK").Run();
            }

            RolledBack?.Invoke();
            throw;
        }
    }
}
