using System.Diagnostics;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage;

namespace DriftWatch.IngestBenchmark;

/// <summary>Readings a second into the store, durable, and what is written to disk for them.</summary>
internal static class StoreRates
{
    private const int PerCommit = 20_000;
    private const int Total = 1_200_000;

    public static void Run()
    {
        Console.WriteLine("vessels  readings/s  against 12  log bytes/reading");
        double few = 0;
        foreach (int vessels in (int[])[12, 12, 1_000, 10_000])
        {
            // The first run warms up.
            (double rate, double written) = Measure(vessels);
            few = vessels == 12 ? rate : few;
            Console.WriteLine($"{vessels,7}  {rate,10:N0}  {rate / few,10:F2}  {written,17:F0}");
        }
    }

    private static (double Rate, double WrittenPerReading) Measure(int vessels)
    {
        List<VesselReading[]> commits = [];
        List<VesselReading> next = [];
        for (int minute = 0; commits.Count * PerCommit < Total; minute++)
        {
            for (int vessel = 0; vessel < vessels; vessel++)
            {
                next.AddRange(BenchmarkPlant.Readings(vessel, minute));
                if (next.Count >= PerCommit)
                {
                    commits.Add([.. next]);
                    next.Clear();
                }
            }
        }

        using ScratchFolder folder = new();
        using PlantStore store = new(new StoreOptions { Path = folder.Store });
        long before = WrittenBytes();
        long start = Stopwatch.GetTimestamp();
        foreach (VesselReading[] commit in commits)
        {
            store.Commit(commit, []);
        }

        double seconds = Stopwatch.GetElapsedTime(start).TotalSeconds;
        long readings = commits.Sum(commit => (long)commit.Length);
        return (readings / seconds, (double)(WrittenBytes() - before) / readings);
    }

    /// <summary>What this process has handed to the operating system to write (Linux; 0 elsewhere).</summary>
    private static long WrittenBytes() => File.Exists("/proc/self/io")
        ? long.Parse(File.ReadLines("/proc/self/io").First(line => line.StartsWith("wchar", StringComparison.Ordinal))[7..], System.Globalization.CultureInfo.InvariantCulture)
        : 0;
}
