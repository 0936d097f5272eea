using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Replay;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.Extensions.Logging.Abstractions;

namespace DriftWatch.Web.Tests;

/// <summary>A store filled from the sample streams, as the service fills it.</summary>
internal sealed class SamplePlant : IDisposable
{
    /// <summary>Of this vessel no reading comes in.</summary>
    public const string Unheard = "YD1-A1";

    private const int Batch = 20_000;

    private readonly string _folder;

    private SamplePlant(string folder, VesselRegister register, PlantStore store, PlantClock clock)
    {
        _folder = folder;
        Register = register;
        Store = store;
        Clock = clock;
    }

    public VesselRegister Register { get; }

    public PlantStore Store { get; }

    /// <summary>Stands at the end of the streams.</summary>
    public PlantClock Clock { get; }

    public static SamplePlant Fill()
    {
        string folder = Directory.CreateTempSubdirectory("driftwatch-web-").FullName;
        VesselRegister register = RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;
        var store = new PlantStore(new StoreOptions { Path = Path.Combine(folder, "driftwatch.db") });
        var reader = new LoggerFileReader(register);
        DateTimeOffset end = DateTimeOffset.MinValue;
        foreach (string vessel in register.Vessels.Select(vessel => vessel.Id).Where(id => id != Unheard))
        {
            string file = Path.Combine(Repository.SampleStreams, vessel + ".csv.gz");
            foreach (VesselReading[] readings in reader.Read(file, DateTimeOffset.MaxValue, row => throw new InvalidDataException(row.ToString())).Chunk(Batch))
            {
                store.Commit(readings, []);
                DateTimeOffset last = readings.Max(reading => reading.Reading.Instant);
                end = last > end ? last : end;
            }
        }

        var clock = new ReplayClock();
        clock.Reach(end);
        var assessor = new Assessor(register, store, AlarmHandling.Usual, clock, NullLogger<Assessor>.Instance);
        assessor.TakeInWaiting(CancellationToken.None);
        assessor.LetTimePass(end, CancellationToken.None);
        return new SamplePlant(folder, register, store, new PlantClock(clock));
    }

    public void Dispose()
    {
        Store.Dispose();
        Directory.Delete(_folder, recursive: true);
    }
}
