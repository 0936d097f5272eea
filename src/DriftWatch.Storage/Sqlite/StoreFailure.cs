using Microsoft.Data.Sqlite;
using SQLitePCL;

namespace DriftWatch.Storage.Sqlite;

/// <summary>Says what a failure of the database means and how to mend it.</summary>
internal static class StoreFailure
{
    public static StoreUnavailableException From(SqliteException failure, string path)
    {
        string advice = failure.SqliteErrorCode switch
        {
            raw.SQLITE_FULL => "The disk is full: free space; writing goes on by itself once there is room.",
            raw.SQLITE_BUSY or raw.SQLITE_LOCKED => "Another process holds the file and did not let go of it in time: try again, or stop it; one service a store.",
            raw.SQLITE_READONLY or raw.SQLITE_PERM => "It may not be written to: give this user the right to write the file and its folder.",
            raw.SQLITE_CANTOPEN => "It cannot be opened: check that the folder is there and that this user may write to it.",
            raw.SQLITE_IOERR => "Reading or writing the disk failed: check disk and connection.",
            raw.SQLITE_CORRUPT or raw.SQLITE_NOTADB => "It is damaged or no store of this program: put it aside and restore a copy.",
            _ => "The database refused.",
        };
        return new StoreUnavailableException($"Store '{path}': {advice} ({failure.Message})", failure);
    }
}
