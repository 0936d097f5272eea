using System.Text.Json;

namespace DriftWatch.Host.Settings;

/// <summary>Reads the settings file and checks it as a whole.</summary>
internal static class SettingsReader
{
    /// <summary>The settings, with paths made absolute; or every fault found.</summary>
    public static (ServiceSettings? Settings, IReadOnlyList<string> Faults) Read(string file)
    {
        ServiceSettings settings;
        try
        {
            settings = SettingsJson.Read(File.ReadAllText(file));
        }
        catch (JsonException exception)
        {
            return (null, [exception.LineNumber is { } line ? $"line {line + 1}: {exception.Message}" : exception.Message]);
        }

        List<string> faults = [.. Faults(settings)];
        if (faults.Count > 0)
        {
            return (null, faults);
        }

        string folder = Path.GetDirectoryName(Path.GetFullPath(file))!;
        return (settings with
        {
            Register = Path.Combine(folder, settings.Register),
            DataFolder = Path.Combine(folder, settings.DataFolder),
            ChartFolder = Path.Combine(folder, settings.ChartFolder),
            Queue = settings.Queue with { Folder = Path.Combine(folder, settings.Queue.Folder) },
        }, []);
    }

    private static IEnumerable<string> Faults(ServiceSettings settings)
    {
        if (string.IsNullOrWhiteSpace(settings.Register))
        {
            yield return "register is empty: name the file with the vessel register.";
        }

        if (settings.Broker.Port is < 1 or > 65535)
        {
            yield return $"broker.port is {settings.Broker.Port}: give 1 to 65535.";
        }

        if (settings.Broker.Version is not ("5" or "3.1.1"))
        {
            yield return $"broker.version is '{settings.Broker.Version}': give \"5\" or \"3.1.1\".";
        }

        if (settings.Broker.Host is null && (settings.Broker.UserName ?? settings.Broker.AuthorityFile) is not null)
        {
            yield return "broker.userName and broker.authorityFile are for an outside broker: name it in broker.host.";
        }

        if (settings.Queue.Mqtt is { Port: < 1 or > 65535 } mqtt)
        {
            yield return $"queue.mqtt.port is {mqtt.Port}: give 1 to 65535.";
        }

        foreach (string fault in settings.Web?.Faults() ?? [])
        {
            yield return fault;
        }

        if (!Units.TryParse(settings.PressureUnit, out _))
        {
            yield return $"pressureUnit is '{settings.PressureUnit}': give {Units.Names}.";
        }
    }
}
