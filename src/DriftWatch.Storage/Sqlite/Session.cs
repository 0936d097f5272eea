using Microsoft.Data.Sqlite;

namespace DriftWatch.Storage.Sqlite;

/// <summary>One connection with its prepared statements, used by one thread at a time.</summary>
internal sealed class Session : IDisposable
{
    private readonly SqliteConnection _connection;
    private readonly Dictionary<string, Statement> _statements = new(StringComparer.Ordinal);

    public Session(string path, SqliteOpenMode mode, TimeSpan lockTimeout)
    {
        SqliteConnectionStringBuilder settings = new() { DataSource = path, Mode = mode, Pooling = false };
        _connection = new SqliteConnection(settings.ConnectionString);
        try
        {
            _connection.Open();
            Execute($"PRAGMA busy_timeout = {(long)lockTimeout.TotalMilliseconds}");
        }
        catch
        {
            _connection.Dispose();
            throw;
        }
    }

    /// <summary>The statement of this text, ready for new values; prepared once.</summary>
    public Statement Prepare(string sql)
    {
        if (_statements.TryGetValue(sql, out Statement? statement))
        {
            return statement.Reset();
        }

        statement = new Statement(_connection.Handle!, sql);
        _statements.Add(sql, statement);
        return statement;
    }

    /// <summary>Runs a statement that is used once.</summary>
    public void Execute(string sql)
    {
        using Statement statement = new(_connection.Handle!, sql);
        _ = statement.Run();
    }

    /// <summary>Runs a script of several statements.</summary>
    public void ExecuteScript(string sql)
    {
        using SqliteCommand command = _connection.CreateCommand();
#pragma warning disable CA2100 // Migration text from this project, never from outside.
        command.CommandText = sql;
#pragma warning restore CA2100
        _ = command.ExecuteNonQuery();
    }

    /// <summary>Gives up all unfinished runs: one would hold its state of the database open beyond the transaction.</summary>
    public void ResetAll()
    {
        foreach (Statement statement in _statements.Values)
        {
            _ = statement.Reset();
        }
    }

    /// <summary>Whether a transaction is open: some failures (disk full) end it by themselves.</summary>
    public bool InTransaction => SQLitePCL.raw.sqlite3_get_autocommit(_connection.Handle!) == 0;

    public void Dispose()
    {
        foreach (Statement statement in _statements.Values)
        {
            statement.Dispose();
        }

        _connection.Dispose();
    }
}
