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
            return (null, [Unreadable(exception)]);
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
        string[] told = [.. faults.Select(FieldOf)];
        IEnumerable<string> further = toRun ? Faults(settings).Concat(Missing(settings)) : Faults(settings);
        faults.AddRange(further.Where(fault => !told.Any(one => one == FieldOf(fault) || one.StartsWith(FieldOf(fault) + "[", StringComparison.Ordinal))).ToArray());
        return faults.Count > 0 ? (null, faults) : (settings, []);
    }

    /// <summary>Each fault begins with its field. One that had to be left out is not told to be missing as well.</summary>
    private static string FieldOf(string fault) => fault.Split(' ', 2)[0].TrimEnd(':');

    private static string Unreadable(JsonException exception)
    {
        // What the reader adds counts lines and bytes from 0.
        string what = exception.Message.Split(" LineNumber:", 2)[0];
        return exception.LineNumber is { } line
            ? FormattableString.Invariant($"line {line + 1}, byte {exception.BytePositionInLine + 1}: {what}")
            : what;
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
