using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Tests.Support;

namespace DriftWatch.Storage.Tests;

/// <summary>The process that the crash tests kill or starve of disk: commits batch after batch, each with its step, and says so after each.</summary>
internal static class CrashWriter
{
    public const string UntilKilled = "write-until-killed";

    public const string UntilFull = "write-until-full";

    public const string Vessel = "V-1";

    public const int BatchSize = 500;

    public static int Run(string path)
    {
        using PlantStore store = new(new StoreOptions { Path = path, Channels = ["files"] });
        long held = store.ReadingCounts().SingleOrDefault()?.Count ?? 0;
        for (int batch = (int)(held / BatchSize); ; batch++)
        {
            store.Commit(Batch(batch), []);
            Console.Out.WriteLine($"committed {batch}");
            long newest = store.Waiting().Single().InboxSequence;
            store.Save(Given.Step(Vessel, batch, Given.Opened(Given.Job(Vessel, $"job-{batch}"))) with
            {
                InboxSequence = newest,
                Windows = [Given.Window(batch)],
            });
            Console.Out.WriteLine($"saved {batch}");
        }
    }

    /// <summary>Ends with the store's own words once it can write no more, after trying again to see that it stays open to tell so.</summary>
    public static int RunUntilFull(string path)
    {
        using PlantStore store = new(new StoreOptions { Path = path });
        for (int batch = 0; ; batch++)
        {
            try
            {
                store.Commit(Batch(batch), []);
                Console.Out.WriteLine($"committed {batch}");
            }
            catch (StoreUnavailableException full)
            {
                Console.Out.WriteLine($"full {batch} {full.Message}");
                Console.Out.WriteLine($"held {store.ReadingCounts().Single().Count}");
                return 0;
            }
        }
    }

    public static IReadOnlyList<VesselReading> Batch(int number) =>
        [.. Enumerable.Range(number * BatchSize, BatchSize).Select(i => Given.Reading(Vessel, i / 60.0, i))];
}
