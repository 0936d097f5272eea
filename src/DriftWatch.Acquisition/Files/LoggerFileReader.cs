using System.Globalization;
using System.Text;
using DriftWatch.Acquisition.Door;
using DriftWatch.Plant.Readings;
using DriftWatch.Plant.Register;
using nietras.SeparatedValues;

namespace DriftWatch.Acquisition.Files;

/// <summary>
/// Reads logger files (CSV, plain or gzip) into readings, in the order of the file. Streams: memory does not grow with the
/// file. What cannot be read goes to the rejected rows with its line and reason; the rest is taken.
/// </summary>
public sealed class LoggerFileReader
{
    private const int ReadingsPerStretch = 4096;

    private readonly VesselRegister _register;
    private readonly LoggerProfile _profile;
    private readonly ReadingDoorOptions _door;

    // A gzip file that ends too early would else read as a shorter file, and nobody would know.
    static LoggerFileReader() => AppContext.SetSwitch("System.IO.Compression.UseStrictValidation", true);

    /// <summary>Sets the reader up.</summary>
    /// <param name="register">The vessels.</param>
    /// <param name="profile">How the logger writes; default that of the sample plant.</param>
    /// <param name="door">What is let in; default the same as over MQTT.</param>
    /// <exception cref="ArgumentException">Profile or options are no good.</exception>
    public LoggerFileReader(VesselRegister register, LoggerProfile? profile = null, ReadingDoorOptions? door = null)
    {
        ArgumentNullException.ThrowIfNull(register);
        _register = register;
        _profile = profile ?? new LoggerProfile();
        _profile.Validate();
        _door = door ?? new ReadingDoorOptions();
        _door.Validate();
    }

    /// <summary>Numbers with a decimal comma.</summary>
    internal static CultureInfo DecimalComma { get; } = CommaCulture();

    /// <summary>The logger files of a path: the file itself, or the *.csv and *.tsv of a folder, gzip or not, by name.</summary>
    /// <exception cref="FileNotFoundException">There is neither file nor folder.</exception>
    public static IReadOnlyList<string> FilesOf(string path)
    {
        ArgumentException.ThrowIfNullOrEmpty(path);
        if (File.Exists(path))
        {
            return [path];
        }

        return Directory.Exists(path)
            ? [.. Directory.EnumerateFiles(path).Where(IsLoggerFile).Order(StringComparer.Ordinal)]
            : throw new FileNotFoundException($"There is no file or folder '{path}'.", path);
    }

    /// <summary>Id of the vessel a file is named after: the name without .csv, .tsv or .txt, and .gz.</summary>
    public static string VesselIdOf(string file)
    {
        string name = Path.GetFileName(file);
        name = WithoutEnding(name, ".gz");
        return WithoutEnding(WithoutEnding(WithoutEnding(name, ".csv"), ".tsv"), ".txt");
    }

    /// <summary>Reads one file.</summary>
    /// <param name="file">Path of the file.</param>
    /// <param name="now">Now, UTC: instants far after it are rejected.</param>
    /// <param name="reject">Called for each row, or part of one, that is not taken.</param>
    /// <param name="progress">Told from time to time how many bytes of the file (as it lies on disk) are read.</param>
    /// <returns>The readings, streamed. Faults of the disk come out as <see cref="IOException"/>.</returns>
    public IEnumerable<VesselReading> Read(string file, DateTimeOffset now, Action<RejectedRow> reject, IProgress<long>? progress = null)
    {
        ArgumentException.ThrowIfNullOrEmpty(file);
        ArgumentNullException.ThrowIfNull(reject);
        return Stream(file, now, reject, progress);
    }

    private IEnumerable<VesselReading> Stream(string file, DateTimeOffset now, Action<RejectedRow> reject, IProgress<long>? progress)
    {
        LoggerLayout layout;
        using (FileStream peek = File.OpenRead(file))
        using (Stream begin = Unpacked(file, peek))
        using (StreamReader text = Text(begin, _profile.Latin1))
        {
            layout = LoggerLayout.Find(text, _profile);
        }

        using FileStream bytes = new(file, FileMode.Open, FileAccess.Read, FileShare.Read, 1 << 16, FileOptions.SequentialScan);
        using Stream unpacked = Unpacked(file, bytes);
        using StreamReader whole = Text(unpacked, _profile.Latin1);
        CultureInfo culture = layout.DecimalComma ? DecimalComma : CultureInfo.InvariantCulture;
        using SepReader rows = new Sep(layout.Separator).Reader(options => options with
        {
            CultureInfo = culture,
            HasHeader = false,
            DisableColCountCheck = true,
            Unescape = layout.QuotedSeparators,
            DisableQuotesParsing = !layout.QuotedSeparators,
        }).From(whole);
        LoggerRows reader = new(_register, _profile, _door, culture, file, unpacked as TornGzip, now, reject);
        if (!reader.ReadHeader(rows))
        {
            yield break;
        }

        List<VesselReading> stretch = new(ReadingsPerStretch + 8);
        bool more = true;
        while (more)
        {
            stretch.Clear();
            while (stretch.Count < ReadingsPerStretch && (more = reader.ReadRow(rows, stretch)))
            {
            }

            progress?.Report(bytes.Position);
            foreach (VesselReading reading in stretch)
            {
                yield return reading;
            }
        }
    }

    /// <summary>What the file holds; of a gzip file a <see cref="TornGzip"/>.</summary>
    internal static Stream Unpacked(string file, FileStream bytes) =>
        file.EndsWith(".gz", StringComparison.OrdinalIgnoreCase) ? new TornGzip(bytes) : bytes;

    internal static StreamReader Text(Stream bytes, bool latin1) => new(
        bytes,
        latin1 ? Encoding.Latin1 : Encoding.UTF8,
        detectEncodingFromByteOrderMarks: !latin1,
        bufferSize: 1 << 16);

    internal static bool IsLoggerFile(string path) => EndsIn(path, ".csv") || EndsIn(path, ".tsv");

    /// <summary>Whether a file ends so, gzip or not.</summary>
    internal static bool EndsIn(string path, string ending) => WithoutEnding(path, ".gz").EndsWith(ending, StringComparison.OrdinalIgnoreCase);

    private static string WithoutEnding(string name, string ending) =>
        name.EndsWith(ending, StringComparison.OrdinalIgnoreCase) ? name[..^ending.Length] : name;

    private static CultureInfo CommaCulture()
    {
        CultureInfo culture = (CultureInfo)CultureInfo.InvariantCulture.Clone();
        culture.NumberFormat.NumberDecimalSeparator = ",";
        culture.NumberFormat.NumberGroupSeparator = ".";
        return CultureInfo.ReadOnly(culture);
    }
}
