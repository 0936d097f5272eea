using System.CommandLine;
using DriftWatch.Host.Settings;

namespace DriftWatch.Host.Commands;

/// <summary>The option for the settings file.</summary>
internal static class SettingsOption
{
    public static Option<FileInfo> Create() => new("--settings")
    {
        Description = "Settings file.",
        DefaultValueFactory = _ => new FileInfo("driftwatch.json"),
    };

    /// <summary>The settings; or null, with every fault told.</summary>
    public static ServiceSettings? Read(FileInfo file, TextWriter errors, bool toRun = false)
    {
        if (!file.Exists)
        {
            errors.WriteLine($"There is no settings file {file.FullName}. Name one with --settings; the command example-settings prints one to start from.");
            return null;
        }

        (ServiceSettings? settings, IReadOnlyList<string> faults) = SettingsReader.Read(file.FullName, toRun);
        foreach (string fault in faults)
        {
            errors.WriteLine($"{file.Name}: {fault}");
        }

        return settings;
    }
}
