using System.Diagnostics;

namespace DriftWatch.TestPeers;

/// <summary>Reads PDF documents by the Poppler command line tools (Debian package poppler-utils): a second opinion on what was written.</summary>
public static class PopplerTools
{
    /// <summary>The text in reading order; pages are parted by form feeds.</summary>
    public static string Text(string file) => Run("pdftotext", "-enc", "UTF-8", "-layout", file, "-");

    /// <summary>Title, language, tags and the number of pages, a line each.</summary>
    public static string Info(string file) => Run("pdfinfo", file);

    /// <summary>The structure that a screen reader is given, with its text.</summary>
    public static string Structure(string file) => Run("pdfinfo", "-struct-text", file);

    /// <summary>Pixel images in it, a line each; empty for none.</summary>
    public static IReadOnlyList<string> Images(string file) =>
        [.. Run("pdfimages", "-list", file).Split('\n', StringSplitOptions.RemoveEmptyEntries).Skip(2)];

    /// <summary>Fonts in it, a line each.</summary>
    public static IReadOnlyList<string> Fonts(string file) =>
        [.. Run("pdffonts", file).Split('\n', StringSplitOptions.RemoveEmptyEntries).Skip(2)];

    /// <summary>Draws the pages as PNG pictures beside the file, to be looked at.</summary>
    public static void Draw(string file) => _ = Run("pdftoppm", "-r", "70", "-png", file, Path.ChangeExtension(file, null));

    private static string Run(string program, params string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo(program, arguments) { RedirectStandardOutput = true, RedirectStandardError = true })
            ?? throw new InvalidOperationException($"{program} did not start: tests/run installs poppler-utils.");
        Task<string> errors = process.StandardError.ReadToEndAsync();
        string output = process.StandardOutput.ReadToEnd();
        process.WaitForExit();
        string said = errors.GetAwaiter().GetResult();
        return process.ExitCode == 0 && said.Length == 0
            ? output
            : throw new InvalidOperationException($"{program} ends with {process.ExitCode}: {said}");
    }
}
