using System.Diagnostics.CodeAnalysis;

namespace DriftWatch.Host.Settings;

/// <summary>Makes the paths of the settings absolute; they are relative to the settings file.</summary>
internal static class SettingsPaths
{
    public static ServiceSettings Absolute(ServiceSettings settings, string folder) => settings with
    {
        Register = In(folder, settings.Register),
        DataFolder = In(folder, settings.DataFolder),
        ChartFolder = In(folder, settings.ChartFolder),
        Broker = settings.Broker with
        {
            PasswordFile = In(folder, settings.Broker.PasswordFile),
            AuthorityFile = In(folder, settings.Broker.AuthorityFile),
            CertificateFile = In(folder, settings.Broker.CertificateFile),
            KeyFile = In(folder, settings.Broker.KeyFile),
            ClientAuthorityFile = In(folder, settings.Broker.ClientAuthorityFile),
        },
        Drops = settings.Drops is { } drops ? drops with { Folder = In(folder, drops.Folder), Profile = In(folder, drops.Profile) } : null,
        History = settings.History with
        {
            Influx = settings.History.Influx is { } influx ? influx with { TokenFile = In(folder, influx.TokenFile) } : null,
        },
        Queue = QueuePaths.Absolute(settings.Queue, folder),
        Web = settings.Web is { } web
            ? web with
            {
                CertificateFile = In(folder, web.CertificateFile),
                KeyFile = In(folder, web.KeyFile),
                Oidc = web.Oidc is { ClientSecret: { } secret } oidc ? oidc with { ClientSecret = secret with { File = In(folder, secret.File) } } : web.Oidc,
            }
            : null,
    };

    /// <summary>A path in a folder. One that is empty stays so: it is a fault, not the folder itself.</summary>
    [return: NotNullIfNotNull(nameof(path))]
    public static string? In(string folder, string? path) => string.IsNullOrWhiteSpace(path) ? path : Path.Combine(folder, path);
}
