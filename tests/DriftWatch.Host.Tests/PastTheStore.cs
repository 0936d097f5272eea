using Microsoft.Data.Sqlite;

namespace DriftWatch.Host.Tests;

/// <summary>Writes into the file of a store past the store, as damage would.</summary>
internal static class PastTheStore
{
    /// <summary>Changes one row.</summary>
    /// <param name="file">The file.</param>
    /// <param name="sql">A statement that changes one row, with one parameter, $value.</param>
    /// <param name="value">What it is.</param>
    public static void Change(string file, string sql, object value)
    {
        using SqliteConnection connection = new(new SqliteConnectionStringBuilder { DataSource = file, Pooling = false }.ConnectionString);
        connection.Open();
        using SqliteCommand write = connection.CreateCommand();
#pragma warning disable CA2100 // Literals of the tests.
        write.CommandText = sql;
#pragma warning restore CA2100
        _ = write.Parameters.AddWithValue("$value", value);
        Assert.Equal(1, write.ExecuteNonQuery());
    }
}
