using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Sqlite;

namespace DriftWatch.Storage.Tables;

/// <summary>What is remembered of sources, and the messages that wait to be read by it.</summary>
internal static class SourceMemoryTable
{
    public const string Creation =
        """
        CREATE TABLE source_memory (
            source TEXT PRIMARY KEY,
            birth BLOB NOT NULL,
            progress BLOB NOT NULL
        ) STRICT, WITHOUT ROWID;
        CREATE TABLE held_message (
            source TEXT NOT NULL,
            number INTEGER NOT NULL,
            content BLOB NOT NULL,
            PRIMARY KEY (source, number)
        ) STRICT;
        """;

    public static void Put(Session session, IReadOnlyCollection<SourceMemory> memories)
    {
        foreach (SourceMemory memory in memories)
        {
            if (memory.Birth is { } birth)
            {
                _ = session
                    .Prepare("INSERT INTO source_memory VALUES (?1, ?2, ?3) ON CONFLICT (source) DO UPDATE SET birth = excluded.birth, progress = excluded.progress")
                    .Bind(1, memory.Source)
                    .Bind(2, birth.Span)
                    .Bind(3, memory.Progress.Span)
                    .Run();
            }
            else
            {
                _ = session.Prepare("UPDATE source_memory SET progress = ?2 WHERE source = ?1").Bind(1, memory.Source).Bind(2, memory.Progress.Span).Run();
            }

            foreach (long number in memory.Released)
            {
                _ = session.Prepare("DELETE FROM held_message WHERE source = ?1 AND number = ?2").Bind(1, memory.Source).Bind(2, number).Run();
            }

            foreach (HeldMessage held in memory.Held)
            {
                _ = session
                    .Prepare("INSERT INTO held_message VALUES (?1, ?2, ?3) ON CONFLICT (source, number) DO UPDATE SET content = excluded.content")
                    .Bind(1, memory.Source)
                    .Bind(2, held.Number)
                    .Bind(3, held.Content.Span)
                    .Run();
            }
        }
    }

    public static IReadOnlyList<SourceMemory> All(Session session)
    {
        Dictionary<string, List<HeldMessage>> held = new(StringComparer.Ordinal);
        Statement message = session.Prepare("SELECT source, number, content FROM held_message ORDER BY source, number");
        while (message.Row())
        {
            string source = message.Text(0);
            if (!held.TryGetValue(source, out List<HeldMessage>? ofSource))
            {
                held.Add(source, ofSource = []);
            }

            ofSource.Add(new HeldMessage(message.Long(1), message.Bytes(2).ToArray()));
        }

        List<SourceMemory> memories = [];
        Statement row = session.Prepare("SELECT source, birth, progress FROM source_memory ORDER BY source");
        while (row.Row())
        {
            string source = row.Text(0);
            memories.Add(new SourceMemory(source, row.Bytes(1).ToArray(), row.Bytes(2).ToArray(), held.GetValueOrDefault(source, []), []));
        }

        return memories;
    }
}
