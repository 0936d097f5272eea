using System.Text.Json;
using DriftWatch.Plant.Following;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>What the newest state of each vessel rests on beside its readings.</summary>
internal static class BasisTable
{
    public const string Creation =
        """
        CREATE TABLE basis (
            vessel INTEGER PRIMARY KEY REFERENCES vessel,
            document TEXT NOT NULL
        ) STRICT;
        """;

    public static void Put(Session session, long vessel, VesselBasis basis) =>
        session
            .Prepare("INSERT INTO basis (vessel, document) VALUES (?1, ?2) ON CONFLICT (vessel) DO UPDATE SET document = excluded.document")
            .Bind(1, vessel)
            .BindUtf8(2, JsonSerializer.SerializeToUtf8Bytes(basis, StoredJson.Default.VesselBasis))
            .Run();

    public static VesselBasis? Of(Session session, string vesselId)
    {
        Statement row = session.Prepare($"SELECT document FROM basis WHERE vessel = {VesselTable.NumberOf}").Bind(1, vesselId);
        VesselBasis? basis = row.Row() ? StoredJson.Read(row, 0, StoredJson.Default.VesselBasis) : null;
        _ = row.Reset();
        return basis;
    }
}
