using System.Text.Json;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Storage.Tables;

/// <summary>The last assessment of each vessel.</summary>
internal static class AssessmentTable
{
    public static void Put(Session session, long vessel, Assessment assessment) =>
        session
            .Prepare("INSERT INTO assessment (vessel, document) VALUES (?1, ?2) ON CONFLICT (vessel) DO UPDATE SET document = excluded.document")
            .Bind(1, vessel)
            .BindUtf8(2, JsonSerializer.SerializeToUtf8Bytes(assessment, StoredJson.Default.Assessment))
            .Run();

    public static Assessment? Last(Session session, string vesselId)
    {
        Statement row = session
            .Prepare($"SELECT document FROM assessment WHERE vessel = {VesselTable.NumberOf}")
            .Bind(1, vesselId);
        Assessment? last = row.Row() ? StoredJson.Read(row, 0, StoredJson.Default.Assessment) : null;
        _ = row.Reset();
        return last;
    }

    public static IReadOnlyDictionary<string, Assessment> All(Session session)
    {
        Statement row = session.Prepare("SELECT name, document FROM assessment JOIN vessel ON vessel.id = assessment.vessel");
        Dictionary<string, Assessment> all = new(StringComparer.Ordinal);
        while (row.Row())
        {
            all.Add(row.Text(0), StoredJson.Read(row, 1, StoredJson.Default.Assessment));
        }

        return all;
    }

    /// <summary>Those that a watch has not seen as they are; it remembers them once all are read.</summary>
    public static IReadOnlyDictionary<string, Assessment> Changed(Session session, AssessmentWatch watch)
    {
        Statement row = session.Prepare("SELECT name, document FROM assessment JOIN vessel ON vessel.id = assessment.vessel");
        Dictionary<string, Assessment> changed = new(StringComparer.Ordinal);
        Dictionary<string, byte[]> digests = new(StringComparer.Ordinal);
        while (row.Row())
        {
            string vessel = row.Text(0);
            if (watch.IsNew(vessel, row.Bytes(1), out byte[] digest))
            {
                changed.Add(vessel, StoredJson.Read(row, 1, StoredJson.Default.Assessment));
                digests.Add(vessel, digest);
            }
        }

        watch.Remember(digests);
        return changed;
    }
}
