using System.Diagnostics;
using System.Globalization;
using System.Text;
using DriftWatch.Acquisition.Files;
using DriftWatch.Plant.Readings;
using DriftWatch.Storage;

namespace DriftWatch.IngestBenchmark;

/// <summary>A logger file into the store, against a bare scan of its lines and against reading it without storing.</summary>
internal static class ImportRate
{
    private const int Rows = 400_000;

    public static void Run()
    {
        using ScratchFolder folder = new();
        string file = folder.File(BenchmarkPlant.Id(0) + ".csv");
        using (StreamWriter writer = new(file, append: false, new UTF8Encoding(false)))
        {
            writer.WriteLine("time,gas_pressure_bar,gas_temperature_C");
            for (int row = 0; row < Rows; row++)
            {
                writer.WriteLine(string.Create(
                    CultureInfo.InvariantCulture,
                    $"{BenchmarkPlant.Minute(row).UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'},{100 + (row % 50 / 100.0):F2},{20 + (row % 90 / 10.0):F1}"));
            }
        }

        LoggerFileReader reader = new(BenchmarkPlant.Register(1));
        for (int round = 0; round < 2; round++)
        {
            long start = Stopwatch.GetTimestamp();
            long fields = 0;
            foreach (string line in File.ReadLines(file))
            {
                fields += line.AsSpan().Count(',');
            }

            double scan = Stopwatch.GetElapsedTime(start).TotalSeconds;
            start = Stopwatch.GetTimestamp();
            long read = 0;
            foreach (VesselReading reading in reader.Read(file, DateTimeOffset.MaxValue, row => throw new InvalidDataException(row.ToString()), null))
            {
                read++;
            }

            double parse = Stopwatch.GetElapsedTime(start).TotalSeconds;
            using ScratchFolder into = new();
            using PlantStore store = new(new StoreOptions { Path = into.Store });
            start = Stopwatch.GetTimestamp();
            foreach (VesselReading[] commit in reader.Read(file, DateTimeOffset.MaxValue, _ => { }, null).Chunk(20_000))
            {
                store.Commit(commit, []);
            }

            double import = Stopwatch.GetElapsedTime(start).TotalSeconds;
            if (round == 1)
            {
                Console.WriteLine($"import of {Rows:N0} rows, {read:N0} readings, {fields:N0} fields: {read / import:N0} readings/s; bare scan {read / scan:N0}, reading without storing {read / parse:N0}; import / scan {scan / import:F2}, import / reading {parse / import:F2}");
            }
        }
    }
}
