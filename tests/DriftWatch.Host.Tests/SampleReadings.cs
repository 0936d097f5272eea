using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Tests;

/// <summary>The sample plant, for tests that feed a store by themselves.</summary>
internal static class SampleReadings
{
    public static VesselRegister Register() => RegisterFile.Open(Path.Combine(Repository.SampleStreams, "register.json"), TextWriter.Null)!;

    /// <summary>All readings of a vessel in order of time.</summary>
    public static VesselReading[] Of(VesselRegister register, string id) =>
    [
        .. new LoggerFileReader(register)
            .Read(Path.Combine(Repository.SampleStreams, id + ".csv.gz"), TimeProvider.System.GetUtcNow(), _ => { })
            .Where(reading => reading.VesselId == id)
            .OrderBy(reading => reading.Reading),
    ];
}
