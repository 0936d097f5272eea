using System.Globalization;
using System.Text.Json;

namespace DriftWatch.Host.Settings;

/// <summary>Reads the settings file and checks it as a whole.</summary>
internal static class SettingsReader
{
    /// <summary>The settings, with paths made absolute; or every fault found.</summary>
    /// <param name="file">The settings file.</param>
    /// <param name="queuesToo">Whether the channels are to be used: then their secrets and certificates must be at hand.</param>
    public static (ServiceSettings? Settings, IReadOnlyList<string> Faults) Read(string file, bool queuesToo)
    {
        ServiceSettings settings;
        try
        {
            (ServiceSettings? read, IReadOnlyList<string> wrong) = SettingsJson.Read(File.ReadAllText(file), Environment.GetEnvironmentVariables());
            if (read is null)
            {
                return (null, wrong);
            }

            settings = read;
        }
        catch (JsonException exception)
        {
            return (null, [exception.LineNumber is { } line ? $"line {line + 1}: {exception.Message}" : exception.Message]);
        }

        string folder = Path.GetDirectoryName(Path.GetFullPath(file))!;
        QueueSettings queue = QueuePaths.Absolute(settings.Queue, folder);
        List<string> faults = [.. Faults(settings), .. queuesToo ? queue.Faults() : []];
        if (faults.Count > 0)
        {
            return (null, faults);
        }

        return (settings with
        {
            Register = Path.Combine(folder, settings.Register),
            DataFolder = Path.Combine(folder, settings.DataFolder),
            ChartFolder = Path.Combine(folder, settings.ChartFolder),
            Broker = settings.Broker with
            {
                PasswordFile = In(folder, settings.Broker.PasswordFile),
                AuthorityFile = In(folder, settings.Broker.AuthorityFile),
                CertificateFile = In(folder, settings.Broker.CertificateFile),
                KeyFile = In(folder, settings.Broker.KeyFile),
                ClientAuthorityFile = In(folder, settings.Broker.ClientAuthorityFile),
            },
            Drops = settings.Drops is { } drops
                ? drops with { Folder = Path.Combine(folder, drops.Folder), Profile = In(folder, drops.Profile) }
                : null,
            History = settings.History with
            {
                Influx = settings.History.Influx is { TokenFile: { } tokenFile } influx
                    ? influx with { TokenFile = Path.Combine(folder, tokenFile) }
                    : settings.History.Influx,
            },
            Queue = queue,
            Web = settings.Web is { } web
                ? web with
                {
                    CertificateFile = In(folder, web.CertificateFile),
                    KeyFile = In(folder, web.KeyFile),
                    Oidc = web.Oidc is { ClientSecret: { File: not null } secret } oidc
                        ? oidc with { ClientSecret = secret with { File = In(folder, secret.File) } }
                        : web.Oidc,
                }
                : null,
        }, []);
    }

    private static string? In(string folder, string? file) => file is null ? null : Path.Combine(folder, file);

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

        if (settings.Broker.Port is >= 1 and <= 65535 && BrokerOptions.WhyNot(settings.Broker) is { } wrong)
        {
            yield return $"broker: {wrong}";
        }

        if (settings.Drops is { } drops && (string.IsNullOrWhiteSpace(drops.Folder) || !(drops.SettleSeconds >= 0 && drops.SettleSeconds <= 3600)))
        {
            yield return "drops: name a folder, and give settleSeconds from 0 to 3600.";
        }

        if (settings.History.RawRetentionDays is < 120)
        {
            yield return $"history.rawRetentionDays is {settings.History.RawRetentionDays}: give 120 or more, or leave it out to keep raw readings for ever.";
        }

        if (settings.History.RollUpRetentionDays is { } rollUp && !(rollUp >= settings.History.RawRetentionDays))
        {
            yield return $"history.rollUpRetentionDays is {rollUp}: give no fewer days than rawRetentionDays ({settings.History.RawRetentionDays?.ToString(CultureInfo.InvariantCulture) ?? "for ever"}).";
        }

        if (settings.History.Influx is { TokenFile: not null, TokenEnvironmentVariable: not null })
        {
            yield return "history.influx.tokenFile and history.influx.tokenEnvironmentVariable are both given: give one of them.";
        }

        foreach (string fault in settings.History.Influx is { } history ? InfluxSettings.Faults(history) : [])
        {
            yield return "history.influx: " + fault;
        }

        foreach (string fault in settings.Alarms.Faults("alarms"))
        {
            yield return fault;
        }

        foreach (string fault in settings.Web?.Faults() ?? [])
        {
            yield return fault;
        }

        if (settings is { Web: null, Queue.Answers.Http: true })
        {
            yield return "queue.answers.http is true, but there is no web: give web an address and a port.";
        }

        foreach (string fault in settings.Telemetry.Faults())
        {
            yield return fault;
        }

        if (settings.Log.Format is not ("text" or "json"))
        {
            yield return $"log.format is '{settings.Log.Format}': give \"text\" or \"json\".";
        }

        if (!Units.TryParse(settings.PressureUnit, out _))
        {
            yield return $"pressureUnit is '{settings.PressureUnit}': give {Units.Names}.";
        }
    }
}
