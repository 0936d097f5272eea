using DriftWatch.Plant.Readings;
using DriftWatch.Storage.Tests.Support;

namespace DriftWatch.Storage.Tests;

/// <summary>The process that the crash test kills: commits batch after batch, each with its step, and says so after each.</summary>
internal static class CrashWriter
{
    public const string Argument = "write-until-killed";

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

    public static IReadOnlyList<VesselReading> Batch(int number) =>
        [.. Enumerable.Range(number * BatchSize, BatchSize).Select(i => Given.Reading(Vessel, i / 60.0, i))];
}
