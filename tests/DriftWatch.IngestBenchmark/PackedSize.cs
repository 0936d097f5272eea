using System.Diagnostics;
using DriftWatch.Acquisition.Files;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;

namespace DriftWatch.IngestBenchmark;

/// <summary>Bytes of a reading in the store before and after packing, on the sample streams.</summary>
internal static class PackedSize
{
    public static void Run()
    {
        string streams = SampleStreams();
        VesselRegister register = RegisterReader.Read(File.ReadAllText(Path.Combine(streams, "register.json"))).Register!;
        LoggerFileReader reader = new(register);
        using ScratchFolder rows = new();
        using ScratchFolder packed = new();
        long readings = 0;
        using (PlantStore store = new(new StoreOptions { Path = rows.Store }))
        {
            foreach (string file in LoggerFileReader.FilesOf(streams))
            {
                foreach (VesselReading[] commit in reader.Read(file, DateTimeOffset.MaxValue, _ => { }, null).Chunk(50_000))
                {
                    store.Commit(commit, []);
                }
            }

            readings = store.ReadingCounts().Sum(count => count.Count);
        }

        long rowBytes = rows.StoreBytes;
        TimeSpan packing;
        using (PlantStore store = new(new StoreOptions { Path = rows.Store }))
        {
            long start = Stopwatch.GetTimestamp();
            store.Tend(DateTimeOffset.MaxValue.AddDays(-1), CancellationToken.None);
            packing = Stopwatch.GetElapsedTime(start);
        }

        using (Microsoft.Data.Sqlite.SqliteConnection connection = new($"Data Source={rows.Store};Pooling=False"))
        {
            connection.Open();
            using Microsoft.Data.Sqlite.SqliteCommand vacuum = connection.CreateCommand();
            vacuum.CommandText = $"VACUUM INTO '{packed.Store}'";
            vacuum.ExecuteNonQuery();
        }

        Console.WriteLine($"{readings:N0} readings of the sample streams: {(double)rowBytes / readings:F1} bytes each as rows, {(double)packed.StoreBytes / readings:F2} packed; packing {readings / packing.TotalSeconds:N0} readings/s");
    }

    public static string SampleStreams()
    {
        string? folder = AppContext.BaseDirectory;
        while (folder is not null && !File.Exists(Path.Combine(folder, "DriftWatch.sln")))
        {
            folder = Path.GetDirectoryName(folder);
        }

        return Path.Combine(folder ?? throw new InvalidOperationException("Run it inside the source tree."), "sample-streams");
    }
}
