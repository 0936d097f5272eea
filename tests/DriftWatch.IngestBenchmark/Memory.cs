using System.Diagnostics;
using DriftWatch.Acquisition.Payloads;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;

namespace DriftWatch.IngestBenchmark;

/// <summary>Memory of what the service keeps of each vessel: register, decoder, store, and a follower that has taken readings in.</summary>
internal static class Memory
{
    private const int Minutes = 5;

    public static void RunApart(string vessels)
    {
        using Process process = Process.Start(new ProcessStartInfo(Environment.ProcessPath!, ["memory", vessels]))!;
        process.WaitForExit();
    }

    public static void Run(int vessels)
    {
        long empty = GC.GetTotalMemory(forceFullCollection: true);
        VesselRegister register = BenchmarkPlant.Register(vessels);
        ReadingDecoder decoder = new(register);
        using ScratchFolder folder = new();
        using PlantStore store = new(new StoreOptions { Path = folder.Store });
        for (int minute = 0; minute < Minutes; minute++)
        {
            foreach (int[] some in Enumerable.Range(0, vessels).Chunk(10_000))
            {
                store.Commit([.. some.SelectMany(vessel => BenchmarkPlant.Readings(vessel, minute))], []);
            }
        }

        // Followed as the service follows them; saving each step would measure the disk.
        VesselFollower[] followers = [.. register.Vessels.Select(vessel => new VesselFollower(vessel, FollowerState.Start, [], AlarmHandling.Usual))];
        for (int vessel = 0; vessel < vessels; vessel++)
        {
            for (int minute = 0; minute < Minutes; minute++)
            {
                foreach (VesselReading reading in BenchmarkPlant.Readings(vessel, minute))
                {
                    followers[vessel].Accept(reading.Reading);
                }
            }
        }

        long managed = GC.GetTotalMemory(forceFullCollection: true) - empty;
        using var self = Process.GetCurrentProcess();
        Console.WriteLine($"{vessels,7:N0} vessels: {managed / 1e6,6:F0} MB managed ({managed / (double)vessels / 1024:F1} KiB a vessel), working set {self.WorkingSet64 / 1e6:F0} MB at the end, {self.PeakWorkingSet64 / 1e6:F0} MB at most");
        GC.KeepAlive(followers);
        GC.KeepAlive(decoder);
    }
}
