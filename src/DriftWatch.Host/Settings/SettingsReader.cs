using System.Text.Json;

namespace DriftWatch.Host.Settings;

/// <summary>Reads the settings file and checks it as a whole.</summary>
internal static class SettingsReader
{
    /// <summary>The settings, with paths made absolute; or every fault found.</summary>
    /// <param name="file">The settings file.</param>
    /// <param name="toRun">Whether the service is to run by them: then every file and secret that they name must be at hand.</param>
    public static (ServiceSettings? Settings, IReadOnlyList<string> Faults) Read(string file, bool toRun)
    {
        ServiceSettings? read;
        List<string> faults;
        try
        {
            (read, IReadOnlyList<string> variables) = SettingsJson.Read(File.ReadAllText(file), Environment.GetEnvironmentVariables());
            faults = [.. variables];
        }
        catch (JsonException exception)
        {
            return (null, [exception.LineNumber is { } line ? $"line {line + 1}: {exception.Message}" : exception.Message]);
        }
        catch (Exception exception) when (exception is IOException or UnauthorizedAccessException)
        {
            return (null, [$"it cannot be read: {exception.Message}"]);
        }

        if (read is null)
        {
            return (null, faults);
        }

        ServiceSettings settings = SettingsPaths.Absolute(read, Path.GetDirectoryName(Path.GetFullPath(file))!);
        faults.AddRange(Faults(settings));
        if (toRun)
        {
            faults.AddRange(Missing(settings));
        }

        return faults.Count > 0 ? (null, faults) : (settings, []);
    }

    /// <summary>What is named and cannot be used now, a line each.</summary>
    private static IEnumerable<string> Missing(ServiceSettings settings) =>
    [
        .. string.IsNullOrWhiteSpace(settings.Register) ? [] : NamedFile.OpenFaults("register", settings.Register),
        .. settings.Broker.Missing(),
        .. settings.Drops?.Missing() ?? [],
        .. settings.History.Influx?.Missing() ?? [],
        .. settings.Queue.Faults(),
        .. settings.Web?.Missing() ?? [],
    ];

    private static IEnumerable<string> Faults(ServiceSettings settings) =>
    [
        .. string.IsNullOrWhiteSpace(settings.Register) ? (string[])["register is empty: name the file with the vessel register."] : [],
        .. NamedFile.FolderFaults("dataFolder", settings.DataFolder),
        .. NamedFile.FolderFaults("chartFolder", settings.ChartFolder),
        .. settings.Broker.Faults(),
        .. settings.Drops?.Faults() ?? [],
        .. settings.History.Faults(),
        .. settings.Alarms.Faults("alarms"),
        .. settings.Web?.Faults() ?? [],
        .. settings is { Web: null, Queue.Answers.Http: true } ? (string[])["queue.answers.http is true, but there is no web: give web an address and a port."] : [],
        .. settings.Telemetry.Faults(),
        .. settings.Log.Faults(),
        .. Units.TryParse(settings.PressureUnit, out _) ? [] : (string[])[$"pressureUnit is '{settings.PressureUnit}': give {Units.Names}."],
    ];
}
