using System.Collections.Concurrent;
using System.CommandLine;
using System.Globalization;
using DriftWatch.Acquisition.Files;
using DriftWatch.Delivery.Files;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Assessing;
using DriftWatch.Host.Charting;
using DriftWatch.Host.Output;
using DriftWatch.Host.Settings;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Verdicts;
using Spectre.Console;

namespace DriftWatch.Host.Commands;

/// <summary>Assesses logger files without any server.</summary>
internal static class AssessCommand
{
    public static Command Create()
    {
        Argument<FileSystemInfo[]> paths = new("path")
        {
            Description = "Logger files (CSV, also gzipped), or folders of them; each file is named after its vessel.",
            Arity = ArgumentArity.OneOrMore,
        };
        Option<FileInfo?> register = new("--register") { Description = "Vessel register; default register.json beside the first path." };
        Option<DirectoryInfo> output = new("--output")
        {
            Description = "Folder for charts, jobs and rejected rows.",
            DefaultValueFactory = _ => new DirectoryInfo("assessment"),
        };
        Option<DateTimeOffset?> asOf = new("--as-of")
        {
            Description = "The moment to assess for (RFC 3339); default the last reading of all files.",
            CustomParser = InstantText.Read,
        };
        Option<bool> exitByVerdict = new("--exit-by-verdict") { Description = "Exit with 1 when a vessel needs a hand." };
        Option<string> unit = UnitOption.Create();
        Command command = new("assess", "Assess logger files without any server: print the verdicts, draw the charts, write the jobs.")
        {
            paths, register, output, asOf, exitByVerdict, unit,
        };
        command.SetAction((parsed, stop) =>
        {
            FileSystemInfo[] given = parsed.GetRequiredValue(paths);
            string registerFile = parsed.GetValue(register)?.FullName ?? Path.Combine(FolderOf(given[0]), "register.json");
            return RunAsync(
                given, registerFile, parsed.GetRequiredValue(output).FullName, parsed.GetValue(asOf), parsed.GetValue(exitByVerdict),
                UnitOption.Value(parsed, unit), stop);
        });
        return command;
    }

    private static async Task<int> RunAsync(
        FileSystemInfo[] paths, string registerFile, string output, DateTimeOffset? asOf, bool exitByVerdict, PressureUnit unit, CancellationToken stop)
    {
        List<string> files;
        try
        {
            files = [.. paths.SelectMany(path => LoggerFileReader.FilesOf(path.FullName))];
        }
        catch (FileNotFoundException exception)
        {
            await Console.Error.WriteLineAsync(exception.Message);
            return ExitCode.BadInput;
        }

        if (files.Count == 0)
        {
            await Console.Error.WriteLineAsync("There is no .csv or .tsv file, gzip or not, in what was named.");
            return ExitCode.BadInput;
        }

        if (RegisterFile.Open(registerFile, Console.Error) is not { } register)
        {
            return ExitCode.BadInput;
        }

        IAnsiConsole console = Terminal.Create();
        Directory.CreateDirectory(output);
        var rejected = new ConcurrentQueue<RejectedRow>();
        FileAssessment assessment = await WorkProgress.RunAsync(
            console, "Logger files", files, told => Task.Run(() => FileAssessment.Run(register, files, asOf, rejected.Enqueue, told, stop), stop));
        foreach ((string vessel, string why) in assessment.Failures)
        {
            await Console.Error.WriteLineAsync($"Vessel {vessel} could not be assessed, the others are: {why} Please report it with the vessel's file.");
        }

        if (assessment.Results.Count == 0 && assessment.Failures.Count == 0)
        {
            await Console.Error.WriteLineAsync("No reading of a vessel of the register was found in the files.");
            await WriteRejectedAsync(output, rejected);
            return ExitCode.BadInput;
        }

        string charts = Path.Combine(output, "charts");
        var queue = new FileQueueChannel("files", Path.Combine(output, "jobs"));
        await WorkProgress.RunAsync(console, "Charts", assessment.Results, result => ChartFolder.Draw(charts, result, unit));
        foreach (JobNotice notice in assessment.Notices)
        {
            await queue.DeliverAsync(notice, stop);
        }

        VerdictTable.Write(console, assessment.Results, unit);
        VerdictTable.WriteReasons(console, assessment.Results, unit);
        console.WriteLine();
        console.WriteLine($"Charts: {charts}");
        console.WriteLine($"Jobs:   {Path.Combine(output, "jobs")} ({assessment.Notices.Count} notices)");
        if (!rejected.IsEmpty)
        {
            console.WriteLine($"Rows set aside: {rejected.Count}, with their reasons in {await WriteRejectedAsync(output, rejected)}");
        }

        console.WriteLine($"As of {assessment.AsOf.ToString("yyyy-MM-dd HH:mm", CultureInfo.InvariantCulture)} UTC. The program advises; it does not certify a vessel.");
        CautionLines.Write(Console.Out);
        return ExitCodeOf(assessment, exitByVerdict);
    }

    /// <summary>A vessel that nothing is known of comes before any verdict on the others.</summary>
    internal static int ExitCodeOf(FileAssessment assessment, bool exitByVerdict)
    {
        bool needsAHand = assessment.Results.Any(result => VerdictNames.NeedsAHand(result.Assessment.Verdict));
        return assessment.Failures.Count > 0 ? ExitCode.Failed : exitByVerdict && needsAHand ? ExitCode.NeedsAHand : ExitCode.Done;
    }

    private static async Task<string> WriteRejectedAsync(string output, IEnumerable<RejectedRow> rejected)
    {
        string file = Path.Combine(output, "rejected.txt");
        await File.WriteAllLinesAsync(file, rejected.Select(row => row.ToString()));
        return file;
    }

    private static string FolderOf(FileSystemInfo path) =>
        path is DirectoryInfo || Directory.Exists(path.FullName) ? path.FullName : Path.GetDirectoryName(path.FullName)!;
}
