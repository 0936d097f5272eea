using System.Text.Json;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Notices;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>Notices of jobs and alarms in one order, and for each channel whether it has taken them.</summary>
internal static class OutboxTable
{
    public static void Add(Session session, INotice notice, IReadOnlyList<string> channels)
    {
        Statement added = session
            .Prepare("INSERT INTO notice (key, vessel, document, alarm) VALUES (?1, ?2, ?3, ?4) ON CONFLICT (key) DO NOTHING RETURNING sequence")
            .Bind(1, notice.Key)
            .Bind(2, notice.VesselId)
            .BindUtf8(3, notice switch
            {
                JobNotice job => JsonSerializer.SerializeToUtf8Bytes(job, StoredJson.Default.JobNotice),
                AlarmNotice alarm => JsonSerializer.SerializeToUtf8Bytes(alarm, StoredJson.Default.AlarmNotice),
                _ => throw new ArgumentException("Only notices of jobs and alarms are kept.", nameof(notice)),
            })
            .Bind(4, notice is AlarmNotice ? 1L : 0L);
        if (!added.Row())
        {
            return;
        }

        long sequence = added.Long(0);
        _ = added.Run();
        foreach (string channel in channels)
        {
            _ = session.Prepare("INSERT INTO delivery (channel, sequence) VALUES (?1, ?2)").Bind(1, channel).Bind(2, sequence).Run();
        }
    }

    /// <summary>Whether anything was ever put in of a job; its notices have its key, a slash and more.</summary>
    public static bool HasTold(Session session, string jobKey) =>
        session.Prepare("SELECT 1 FROM notice WHERE key > ?1 || '/' AND key < ?1 || '0' LIMIT 1").Bind(1, jobKey).First() is not null;

    public static IReadOnlyList<OutboxEntry> Pending(Session session, string channel, int limit, IReadOnlyCollection<string> exceptVessels)
    {
        Statement row = session
            .Prepare(
                """
                SELECT delivery.sequence, alarm, document, tries, refusals FROM delivery JOIN notice ON notice.sequence = delivery.sequence
                WHERE channel = ?1 AND delivered = 0 AND set_aside IS NULL AND vessel NOT IN (SELECT value FROM json_each(?3))
                ORDER BY delivery.sequence LIMIT ?2
                """)
            .Bind(1, channel)
            .Bind(2, (long)limit)
            .BindUtf8(3, JsonSerializer.SerializeToUtf8Bytes(exceptVessels, StoredJson.Default.IReadOnlyCollectionString));
        List<OutboxEntry> entries = [];
        while (row.Row())
        {
            entries.Add(new OutboxEntry(row.Long(0), Notice(row, 1), row.Int(3), row.Int(4)));
        }

        return entries;
    }

    public static IReadOnlyList<DeadLetter> DeadLetters(Session session)
    {
        Statement row = session.Prepare(
            """
            SELECT channel, delivery.sequence, alarm, document, tries, set_aside, last_error FROM delivery JOIN notice ON notice.sequence = delivery.sequence
            WHERE set_aside IS NOT NULL ORDER BY channel, delivery.sequence
            """);
        List<DeadLetter> letters = [];
        while (row.Row())
        {
            letters.Add(new DeadLetter(
                row.Text(0), row.Long(1), Notice(row, 2), row.Int(4), Instants.FromTicks(row.Long(5)), row.IsNull(6) ? "" : row.Text(6)));
        }

        return letters;
    }

    /// <summary>How many notices of each channel wait, in order of its name; channels with none are left out.</summary>
    public static IReadOnlyList<WaitingNotices> Waiting(Session session)
    {
        Statement row = session.Prepare(
            "SELECT channel, count(*), min(sequence) FROM delivery WHERE delivered = 0 AND set_aside IS NULL GROUP BY channel ORDER BY channel");
        List<WaitingNotices> waiting = [];
        while (row.Row())
        {
            waiting.Add(new WaitingNotices(row.Text(0), row.Long(1), row.Long(2)));
        }

        return waiting;
    }

    /// <summary>
    /// Lets go of what waits for channels other than these: one that comes back after a year must not be told of jobs that were closed
    /// while nobody told it. Dead letters stay. Gives what was let go of.
    /// </summary>
    public static IReadOnlyList<WaitingNotices> LetGoOfOthers(Session session, IReadOnlyCollection<string> channels)
    {
        WaitingNotices[] gone = [.. Waiting(session).Where(waiting => !channels.Contains(waiting.Channel))];
        foreach (WaitingNotices waiting in gone)
        {
            _ = session
                .Prepare("DELETE FROM delivery WHERE channel = ?1 AND delivered = 0 AND set_aside IS NULL")
                .Bind(1, waiting.Channel)
                .Run();
        }

        return gone;
    }

    /// <summary>
    /// Puts a dead letter back, and with it all later notices of its vessel on that channel, those taken already too: the
    /// far side hears them once more in order, so that the newest has the last word. Gives how many wait by that.
    /// </summary>
    public static int Resend(Session session, string channel, long sequence)
    {
        bool found = session
            .Prepare("SELECT 1 FROM delivery WHERE channel = ?1 AND sequence = ?2 AND set_aside IS NOT NULL")
            .Bind(1, channel)
            .Bind(2, sequence)
            .First() is not null;
        return !found
            ? 0
            : session
                .Prepare(
                    """
                    UPDATE delivery SET delivered = 0, set_aside = NULL, tries = 0, refusals = 0
                    WHERE channel = ?1 AND sequence >= ?2
                        AND (SELECT vessel FROM notice WHERE notice.sequence = delivery.sequence) = (SELECT vessel FROM notice WHERE notice.sequence = ?2)
                    """)
                .Bind(1, channel)
                .Bind(2, sequence)
                .Run();
    }

    public static void MarkDelivered(Session session, string channel, long sequence) =>
        session
            .Prepare("UPDATE delivery SET delivered = 1, last_error = NULL WHERE channel = ?1 AND sequence = ?2")
            .Bind(1, channel)
            .Bind(2, sequence)
            .Run();

    public static void MarkFailed(Session session, string channel, long sequence, string failure) =>
        session
            .Prepare("UPDATE delivery SET tries = tries + 1, last_error = ?3 WHERE channel = ?1 AND sequence = ?2 AND delivered = 0")
            .Bind(1, channel)
            .Bind(2, sequence)
            .Bind(3, failure)
            .Run();

    public static void CountRefusal(Session session, string channel, long sequence) =>
        session
            .Prepare("UPDATE delivery SET refusals = refusals + 1 WHERE channel = ?1 AND sequence = ?2 AND delivered = 0")
            .Bind(1, channel)
            .Bind(2, sequence)
            .Run();

    public static void SetAside(Session session, string channel, long sequence, DateTimeOffset at) =>
        session
            .Prepare("UPDATE delivery SET set_aside = ?3 WHERE channel = ?1 AND sequence = ?2 AND delivered = 0")
            .Bind(1, channel)
            .Bind(2, sequence)
            .Bind(3, at.UtcTicks)
            .Run();

    /// <summary>The notice whose kind stands in a column and whose document in the next.</summary>
    private static INotice Notice(Statement row, int column) => row.Int(column) == 1
        ? StoredJson.Read(row, column + 1, StoredJson.Default.AlarmNotice)
        : StoredJson.Read(row, column + 1, StoredJson.Default.JobNotice);
}
