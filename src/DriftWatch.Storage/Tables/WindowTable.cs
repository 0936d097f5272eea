using System.Text.Json;
using DriftWatch.Storage.Sqlite;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Storage.Tables;

/// <summary>Precharge windows by vessel and start, kept for ever.</summary>
internal static class WindowTable
{
    public static void Put(Session session, long vessel, PrechargeWindow window) =>
        session
            .Prepare(
                """
                INSERT INTO precharge_window (vessel, start, document) VALUES (?1, ?2, ?3)
                ON CONFLICT (vessel, start) DO UPDATE SET document = excluded.document
                """)
            .Bind(1, vessel)
            .Bind(2, window.Start.UtcTicks)
            .BindUtf8(3, JsonSerializer.SerializeToUtf8Bytes(window, StoredJson.Default.PrechargeWindow))
            .Run();

    public static void RemoveAfter(Session session, long vessel, DateTimeOffset instant) =>
        session.Prepare("DELETE FROM precharge_window WHERE vessel = ?1 AND start > ?2").Bind(1, vessel).Bind(2, instant.UtcTicks).Run();

    /// <summary>Those whose middle lies in a span, its beginning included, in order of time. They do not overlap, so the search ends at the first one before it.</summary>
    public static IReadOnlyList<PrechargeWindow> Within(Session session, string vesselId, DateTimeOffset from, DateTimeOffset to)
    {
        Statement row = session
            .Prepare($"SELECT document FROM precharge_window WHERE vessel = {VesselTable.NumberOf} AND start < ?2 ORDER BY start DESC")
            .Bind(1, vesselId)
            .Bind(2, to.UtcTicks);
        List<PrechargeWindow> windows = [];
        while (row.Row())
        {
            PrechargeWindow window = StoredJson.Read(row, 0, StoredJson.Default.PrechargeWindow);
            if (window.Middle < from)
            {
                break;
            }

            if (window.Middle < to)
            {
                windows.Add(window);
            }
        }

        _ = row.Reset();
        windows.Reverse();
        return windows;
    }

    /// <summary>Those that end after an instant, and those before it back to the last accepted one where none is among them; in order of time.</summary>
    public static IReadOnlyList<PrechargeWindow> Since(Session session, string vesselId, DateTimeOffset instant)
    {
        Statement row = session
            .Prepare($"SELECT document FROM precharge_window WHERE vessel = {VesselTable.NumberOf} ORDER BY start DESC")
            .Bind(1, vesselId);
        List<PrechargeWindow> windows = [];
        bool accepted = false;
        while (row.Row())
        {
            PrechargeWindow window = StoredJson.Read(row, 0, StoredJson.Default.PrechargeWindow);
            if (accepted && window.End <= instant)
            {
                break;
            }

            windows.Add(window);
            accepted |= window.Standing == WindowStanding.Accepted;
        }

        _ = row.Reset();
        windows.Reverse();
        return windows;
    }

    public static IReadOnlyList<PrechargeWindow> All(Session session, string vesselId)
    {
        Statement row = session
            .Prepare($"SELECT document FROM precharge_window WHERE vessel = {VesselTable.NumberOf} ORDER BY start")
            .Bind(1, vesselId);
        List<PrechargeWindow> windows = [];
        while (row.Row())
        {
            windows.Add(StoredJson.Read(row, 0, StoredJson.Default.PrechargeWindow));
        }

        return windows;
    }
}
