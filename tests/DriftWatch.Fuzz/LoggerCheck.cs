using CsCheck;
using DriftWatch.Acquisition.Files;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Fuzz;

/// <summary>What must hold of any logger file whatsoever, read as it is and by a guessed profile.</summary>
internal sealed class LoggerCheck : IDisposable
{
    private static readonly DateTimeOffset Now = new(2025, 12, 1, 0, 0, 0, TimeSpan.Zero);

    private readonly string _folder = Directory.CreateTempSubdirectory("driftwatch-fuzz-").FullName;
    private readonly VesselRegister _register = FuzzRegister.Create();

    /// <summary>Files of the corpus, spoilt.</summary>
    public static Gen<byte[]> Cases(byte[][] corpus) => Gen.Select(Gen.Int[0, corpus.Length - 1].Select(at => corpus[at]), Spoiling.Gen.Array[1, 6])
        .Select((bytes, spoilings) => spoilings.Aggregate(bytes, (now, spoiling) => spoiling.Spoil(now)));

    public void Dispose() => Directory.Delete(_folder, recursive: true);

    public void Run(byte[] bytes)
    {
        string file = Path.Combine(_folder, "A1.csv");
        File.WriteAllBytes(file, bytes);
        Read(file, new LoggerProfile());
        if (LoggerProfileGuess.Of(file, _register, TimeZoneInfo.Utc).Profile is { } profile)
        {
            LoggerProfile again = LoggerProfileJson.Read(LoggerProfileJson.Write(profile));
            Read(file, again);
        }
    }

    private void Read(string file, LoggerProfile profile)
    {
        foreach (VesselReading reading in new LoggerFileReader(_register, profile).Read(file, Now, _ => { }))
        {
            if (!double.IsFinite(reading.Reading.Value) || reading.Reading.Instant > Now.AddDays(1))
            {
                throw new InvalidOperationException("Broken: a reading is finite and not of the future.");
            }
        }
    }
}
