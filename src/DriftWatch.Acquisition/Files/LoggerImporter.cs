using System.Text;
using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Files;

/// <summary>Commits the readings of logger files. The same file again changes nothing, as the sink keeps a reading by its key.</summary>
public sealed class LoggerImporter
{
    private const int ReadingsPerCommit = 10_000;

    private readonly LiveRegister _register;
    private readonly LoggerProfile? _profile;
    private readonly ReadingDoorOptions? _door;
    private readonly IReadingSink _sink;

    /// <summary>Sets the importer up.</summary>
    /// <exception cref="ArgumentException">Profile or options are no good.</exception>
    public LoggerImporter(LiveRegister register, IReadingSink sink, LoggerProfile? profile = null, ReadingDoorOptions? door = null)
    {
        _ = new LoggerFileReader(register.Current, profile, door); // Faults of profile and options are told now.
        _register = register;
        _profile = profile;
        _door = door;
        _sink = sink;
    }

    /// <summary>Imports one file, by the register as it is when it begins. Rejected rows are written to <c>(file).rejects.csv</c> beside it, and one is set aside as a sample.</summary>
    /// <param name="file">Path of the file.</param>
    /// <param name="now">Now, UTC.</param>
    /// <param name="progress">Told from time to time how many bytes of the file are read.</param>
    /// <param name="stop">Ends the import between two commits; imported again, the file changes nothing twice.</param>
    /// <exception cref="IOException">The file cannot be read.</exception>
    /// <exception cref="OperationCanceledException">It was told to stop.</exception>
    public ImportedFile Import(string file, DateTimeOffset now, IProgress<long>? progress = null, CancellationToken stop = default)
    {
        ArgumentException.ThrowIfNullOrEmpty(file);
        string rejectsPath = RejectsPathOf(file);
        SortedSet<string> vessels = new(StringComparer.Ordinal);
        (DateTimeOffset First, DateTimeOffset Last) span = (DateTimeOffset.MaxValue, DateTimeOffset.MinValue);
        CommittedReadings committed = default;
        using RejectsFile rejects = new(rejectsPath);
        List<VesselReading> stretch = new(ReadingsPerCommit);
        foreach (VesselReading reading in new LoggerFileReader(_register.Current, _profile, _door).Read(file, now, rejects.Add, progress))
        {
            vessels.Add(reading.VesselId);
            DateTimeOffset instant = reading.Reading.Instant;
            span = (instant < span.First ? instant : span.First, instant > span.Last ? instant : span.Last);
            stretch.Add(reading);
            if (stretch.Count == ReadingsPerCommit)
            {
                stop.ThrowIfCancellationRequested();
                committed = committed.And(_sink.Commit(stretch, []));
                stretch.Clear();
            }
        }

        committed = committed.And(_sink.Commit(stretch, rejects.First is { } first ? [Sample(file, first, rejects, now)] : []));
        bool any = vessels.Count > 0;
        return new ImportedFile(
            file, committed, rejects.Count, rejects.Doubts, [.. vessels], any ? span.First : null, any ? span.Last : null, rejects.First is null ? null : rejectsPath);
    }

    /// <summary>Path of the rejected rows of a file.</summary>
    public static string RejectsPathOf(string file) => file + ".rejects.csv";

    private static QuarantinedMessage Sample(string file, RejectedRow first, RejectsFile rejects, DateTimeOffset now) => new(
        Path.GetFileName(file),
        now,
        FormattableString.Invariant(
            $"{rejects.Count} rows, or parts of rows, were not taken, and {rejects.Doubts} taken with doubt; the first in line {first.Line}: {first.Reason}"),
        Encoding.UTF8.GetBytes(first.Text))
    {
        CountsOnce = true,
    };
}
