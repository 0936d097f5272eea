using Microsoft.Data.Sqlite;
using SQLitePCL;

namespace DriftWatch.Storage.Sqlite;

/// <summary>
/// A prepared statement, bound and stepped on the database handle itself: an ADO.NET command and reader for each row
/// costs more than the row's insertion. Owned by one <see cref="Session"/> and used by one thread at a time.
/// Parameters count from 1, columns from 0, as in SQLite.
/// </summary>
internal sealed class Statement : IDisposable
{
    private readonly sqlite3 _database;
    private readonly sqlite3_stmt _statement;

    internal Statement(sqlite3 database, string sql)
    {
        _database = database;
        Check(raw.sqlite3_prepare_v2(database, sql, out _statement));
    }

    public Statement Bind(int parameter, long value)
    {
        Check(raw.sqlite3_bind_int64(_statement, parameter, value));
        return this;
    }

    public Statement Bind(int parameter, double value)
    {
        Check(raw.sqlite3_bind_double(_statement, parameter, value));
        return this;
    }

    public Statement Bind(int parameter, string value)
    {
        Check(raw.sqlite3_bind_text(_statement, parameter, value));
        return this;
    }

    public Statement BindOrNull(int parameter, string? value)
    {
        Check(value is null ? raw.sqlite3_bind_null(_statement, parameter) : raw.sqlite3_bind_text(_statement, parameter, value));
        return this;
    }

    /// <summary>Binds bytes that are UTF-8 text.</summary>
    public Statement BindUtf8(int parameter, ReadOnlySpan<byte> value)
    {
        Check(raw.sqlite3_bind_text(_statement, parameter, value));
        return this;
    }

    public Statement Bind(int parameter, ReadOnlySpan<byte> value)
    {
        Check(value.IsEmpty
            ? raw.sqlite3_bind_zeroblob(_statement, parameter, 0)
            : raw.sqlite3_bind_blob(_statement, parameter, value));
        return this;
    }

    /// <summary>Goes to the next row; false, and ready for the next use, after the last.</summary>
    public bool Row()
    {
        int code = raw.sqlite3_step(_statement);
        switch (code)
        {
            case raw.SQLITE_ROW:
                return true;
            case raw.SQLITE_DONE:
                _ = raw.sqlite3_reset(_statement);
                return false;
            default:
                // The error stands on the connection until the next call: read it before the reset.
                SqliteException failure = Failure(code);
                _ = raw.sqlite3_reset(_statement);
                throw failure;
        }
    }

    /// <summary>Runs to the end and gives the number of rows changed.</summary>
    public int Run()
    {
        while (Row())
        {
        }

        return raw.sqlite3_changes(_database);
    }

    /// <summary>The first column of the only row asked for, ready for the next use; null where there is none, or nothing in it.</summary>
    public long? First()
    {
        long? first = Row() && !IsNull(0) ? Long(0) : null;
        _ = Reset();
        return first;
    }

    public long Long(int column) => raw.sqlite3_column_int64(_statement, column);

    public int Int(int column) => raw.sqlite3_column_int(_statement, column);

    public double Double(int column) => raw.sqlite3_column_double(_statement, column);

    public string Text(int column) => raw.sqlite3_column_text(_statement, column).utf8_to_string();

    public bool IsNull(int column) => raw.sqlite3_column_type(_statement, column) == raw.SQLITE_NULL;

    /// <summary>The bytes of a column (UTF-8 for text), valid until the next step.</summary>
    public ReadOnlySpan<byte> Bytes(int column) => raw.sqlite3_column_blob(_statement, column);

    /// <summary>Makes the statement ready for new values; an unfinished run is given up.</summary>
    public Statement Reset()
    {
        _ = raw.sqlite3_reset(_statement);
        return this;
    }

    public void Dispose() => _statement.Dispose();

    private void Check(int code)
    {
        if (code != raw.SQLITE_OK)
        {
            throw Failure(code);
        }
    }

    private SqliteException Failure(int code) => new(
        $"SQLite error {code}: {raw.sqlite3_errmsg(_database).utf8_to_string()}",
        code & 0xFF,
        raw.sqlite3_extended_errcode(_database));
}
