using System.CommandLine;
using System.Globalization;
using DriftWatch.Acquisition.Files;
using DriftWatch.Host.Output;
using DriftWatch.Host.Settings;
using DriftWatch.Storage;
using Spectre.Console;

namespace DriftWatch.Host.Commands;

/// <summary>Imports logger files into the store.</summary>
internal static class ImportCommand
{
    public static Command Create()
    {
        Argument<FileSystemInfo[]> paths = new("path") { Description = "Logger files (CSV, also gzipped), or folders of them.", Arity = ArgumentArity.OneOrMore };
        Option<FileInfo?> profile = new("--profile") { Description = "Logger profile (JSON); the command guess-profile makes one to start from." };
        Option<FileInfo> settings = SettingsOption.Create();
        Command command = new("import", "Import logger files into the store of the service. Importing a file again changes nothing.") { paths, profile, settings };
        command.SetAction((parsed, stop) => RunAsync(
            parsed.GetRequiredValue(paths), parsed.GetValue(profile)?.FullName, parsed.GetRequiredValue(settings), stop));
        return command;
    }

    private static async Task<int> RunAsync(FileSystemInfo[] paths, string? profileFile, FileInfo settingsFile, CancellationToken stop)
    {
        if (SettingsOption.Read(settingsFile, Console.Error) is not { } settings
            || RegisterFile.Open(settings.Register, Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        LoggerProfile profile;
        List<string> files;
        try
        {
            profile = ProfileFile.Open(profileFile ?? settings.Drops?.Profile);
            files = [.. paths.SelectMany(path => LoggerFileReader.FilesOf(path.FullName))];
        }
        catch (Exception exception) when (exception is InvalidDataException or FileNotFoundException)
        {
            await Console.Error.WriteLineAsync(exception.Message);
            return ExitCode.BadInput;
        }

        Directory.CreateDirectory(settings.DataFolder);
        using var store = new PlantStore(ServiceComposition.StoreOptionsOf(settings));
        var importer = new LoggerImporter(register, new ConsiderateSink(store), profile);
        List<ImportedFile> imported = await WorkProgress.RunAsync(
            Terminal.Create(), "Logger files", files, told => Task.Run(() => Import(importer, files, told, stop), stop));
        foreach (ImportedFile file in imported)
        {
            Console.WriteLine(string.Create(CultureInfo.InvariantCulture, $"{file.File}: {file.Readings} readings{Span(file)}, {file.Rejected} rows or parts of rows not taken{file.Remarks}{(file.RejectsFile is null ? "" : $", see {file.RejectsFile}")}"));
        }

        return imported.Any(file => file.Failed) ? ExitCode.BadInput : ExitCode.Done;
    }

    private static List<ImportedFile> Import(LoggerImporter importer, List<string> files, Action<string, long> told, CancellationToken stop) =>
        [.. files.Select(file => importer.Import(file, DateTimeOffset.UtcNow, new Told(bytes => told(file, bytes)), stop))];

    private static string Span(ImportedFile file) => file.First is { } first && file.Last is { } last
        ? string.Create(CultureInfo.InvariantCulture, $" of {string.Join(", ", file.Vessels)} from {first.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'} to {last.UtcDateTime:yyyy-MM-dd'T'HH:mm:ss'Z'}")
        : "";

    private sealed class Told(Action<long> told) : IProgress<long>
    {
        public void Report(long value) => told(value);
    }
}
