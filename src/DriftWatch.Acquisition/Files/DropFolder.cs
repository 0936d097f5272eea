namespace DriftWatch.Acquisition.Files;

/// <summary>
/// A folder that people and loggers drop files into. A file is taken once it has stopped growing; then it goes to the folder
/// <c>done</c>, or to <c>failed</c> where nothing of it could be taken, its rejected rows beside it.
/// </summary>
/// <remarks>
/// Looks from time to time rather than waits to be told, as network shares tell nothing. Names that begin with a point, or end
/// in .part or .tmp, are left alone, so that a file can be written under such a name and renamed. What ends otherwise than in
/// .csv, .tsv or .txt, gzip or not, is left alone too, and told of.
/// </remarks>
public sealed class DropFolder
{
    private readonly string _folder;
    private readonly LoggerImporter _importer;
    private readonly TimeSpan _settle;
    private readonly TimeProvider _clock;
    private readonly Dictionary<string, Seen> _seen = new(StringComparer.Ordinal);

    /// <summary>Sets the folder up; each look makes it where it is missing.</summary>
    /// <param name="folder">The folder.</param>
    /// <param name="importer">What takes the files.</param>
    /// <param name="settle">How long size and time of a file must have stood still; 0 or more.</param>
    /// <param name="clock">What measures that, whatever the time of day is set to meanwhile; default the system's.</param>
    public DropFolder(string folder, LoggerImporter importer, TimeSpan settle, TimeProvider? clock = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(folder);
        ArgumentOutOfRangeException.ThrowIfLessThan(settle, TimeSpan.Zero);
        _folder = folder;
        _importer = importer;
        _settle = settle;
        _clock = clock ?? TimeProvider.System;
    }

    /// <summary>Names of the files that lay there at the last look and are none that a logger writes.</summary>
    public IReadOnlyList<string> PassedOver { get; private set; } = [];

    /// <summary>Files that could not be read or moved at the last look, with the reason; they stay, and are tried again at the next.</summary>
    public IReadOnlyList<(string Name, string Reason)> Stuck { get; private set; } = [];

    /// <summary>Where files go that were taken, at least in part.</summary>
    public string Done => Path.Combine(_folder, "done");

    /// <summary>Where files go of which nothing could be taken.</summary>
    public string Failed => Path.Combine(_folder, "failed");

    /// <summary>Looks once, and takes the files that are complete.</summary>
    /// <param name="now">Now, UTC.</param>
    /// <param name="stop">Ends between two files, or within one between two commits.</param>
    /// <returns>What came of each file taken, streamed: a file is moved before it is told.</returns>
    /// <exception cref="IOException">The folder itself cannot be made or read.</exception>
    /// <exception cref="UnauthorizedAccessException">This user may not do so.</exception>
    public IEnumerable<ImportedFile> Sweep(DateTimeOffset now, CancellationToken stop = default)
    {
        // Not once at the start: a share may be away then, and come back without its folders.
        Directory.CreateDirectory(Done);
        Directory.CreateDirectory(Failed);
        ILookup<bool, string> files = Directory.EnumerateFiles(_folder)
            .Where(IsMeant)
            .Order(StringComparer.Ordinal)
            .ToLookup(file => LoggerFileReader.IsLoggerFile(file) || LoggerFileReader.EndsIn(file, ".txt"));
        PassedOver = [.. files[false].Select(file => Path.GetFileName(file))];
        string[] present = [.. files[true]];
        foreach (string gone in _seen.Keys.Except(present, StringComparer.Ordinal).ToArray())
        {
            _seen.Remove(gone);
        }

        List<(string, string)> stuck = [];
        foreach (string file in present)
        {
            stop.ThrowIfCancellationRequested();
            if (Take(file, now, stuck, stop) is { } taken)
            {
                yield return taken;
            }
        }

        Stuck = stuck;
    }

    /// <summary>Takes a file that is complete; one that cannot be read or moved holds back no other.</summary>
    private ImportedFile? Take(string file, DateTimeOffset now, List<(string, string)> stuck, CancellationToken stop)
    {
        try
        {
            if (!IsComplete(file))
            {
                return null;
            }

            ImportedFile moved = Move(_importer.Import(file, now, null, stop));
            _seen.Remove(file);
            return moved;
        }
        catch (Exception trouble) when (trouble is IOException or UnauthorizedAccessException or InvalidDataException)
        {
            stuck.Add((Path.GetFileName(file), trouble.Message));
            return null;
        }
    }

    private static bool IsMeant(string file) =>
        Path.GetFileName(file)[0] != '.'
        && !file.EndsWith(".rejects.csv", StringComparison.OrdinalIgnoreCase)
        && !file.EndsWith(".part", StringComparison.OrdinalIgnoreCase)
        && !file.EndsWith(".tmp", StringComparison.OrdinalIgnoreCase);

    private bool IsComplete(string file)
    {
        FileInfo info = new(file);
        if (!_seen.TryGetValue(file, out Seen seen) || seen.Length != info.Length || seen.WrittenUtc != info.LastWriteTimeUtc)
        {
            _seen[file] = seen = new Seen(info.Length, info.LastWriteTimeUtc, _clock.GetTimestamp());
        }

        return _clock.GetElapsedTime(seen.Since) >= _settle && NobodyWrites(file);
    }

    /// <summary>Where the system tells (Windows, and programs of this kind elsewhere), a file still open for writing waits.</summary>
    private static bool NobodyWrites(string file)
    {
        try
        {
            using FileStream alone = new(file, FileMode.Open, FileAccess.Read, FileShare.None);
            return true;
        }
        catch (IOException)
        {
            return false;
        }
    }

    private ImportedFile Move(ImportedFile imported)
    {
        string folder = imported.Failed ? Failed : Done;
        string target = FreeName(folder, Path.GetFileName(imported.File));
        string? rejects = null;
        if (imported.RejectsFile is not null)
        {
            rejects = LoggerImporter.RejectsPathOf(target);
            File.Move(imported.RejectsFile, rejects, overwrite: true);
        }

        File.Move(imported.File, target);
        return imported with { File = target, RejectsFile = rejects };
    }

    /// <summary>The name itself, or with a number before its ending where a file of that name came before.</summary>
    private static string FreeName(string folder, string name)
    {
        string stem = LoggerFileReader.VesselIdOf(name);
        string ending = name[stem.Length..];
        string target = Path.Combine(folder, name);
        for (int number = 2; File.Exists(target); number++)
        {
            target = Path.Combine(folder, FormattableString.Invariant($"{stem}-{number}{ending}"));
        }

        return target;
    }

    private readonly record struct Seen(long Length, DateTime WrittenUtc, long Since);
}
