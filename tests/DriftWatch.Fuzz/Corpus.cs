namespace DriftWatch.Fuzz;

/// <summary>Good samples of every form, from which the spoilt ones are made.</summary>
internal static class Corpus
{
    private static string Folder => Path.Combine(AppContext.BaseDirectory, "corpus");

    /// <summary>Payloads.</summary>
    public static byte[][] Payloads() =>
        [.. Directory.GetFiles(Folder).Where(file => !file.EndsWith(".csv", StringComparison.Ordinal)).Order(StringComparer.Ordinal).Select(Read)];

    /// <summary>Logger files.</summary>
    public static byte[][] LoggerFiles() => [.. Directory.GetFiles(Folder, "*.csv").Order(StringComparer.Ordinal).Select(File.ReadAllBytes)];

    /// <summary>Binary samples stand as hexadecimal text, so that they can be read and reviewed.</summary>
    private static byte[] Read(string file) => file.EndsWith(".hex", StringComparison.Ordinal)
        ? Convert.FromHexString(string.Concat(File.ReadAllText(file).Where(Uri.IsHexDigit)))
        : File.ReadAllBytes(file);
}
