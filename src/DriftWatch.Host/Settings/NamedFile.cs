using System.Security.Cryptography;
using System.Security.Cryptography.X509Certificates;
using DriftWatch.Delivery.Security;

namespace DriftWatch.Host.Settings;

/// <summary>Whether the files, folders and secrets that settings name can be used; each fault with its field.</summary>
internal static class NamedFile
{
    /// <summary>What keeps a folder from being made or used.</summary>
    public static IEnumerable<string> FolderFaults(string field, string? folder) => folder switch
    {
        null => [],
        _ when string.IsNullOrWhiteSpace(folder) => [$"{field} is empty: name a folder."],
        _ when File.Exists(folder) => [$"{field} is '{folder}', which is a file: name a folder."],
        _ => [],
    };

    /// <summary>What keeps a file from being read in a way of its own.</summary>
    public static IEnumerable<string> Faults(string field, string file, Action read) => Try(field, file, () =>
    {
        read();
        return null;
    });

    /// <summary>What keeps a file from being opened.</summary>
    public static IEnumerable<string> OpenFaults(string field, string file) => Faults(field, file, () =>
    {
        using FileStream opened = File.OpenRead(file);
        _ = opened.ReadByte();
    });

    /// <summary>What keeps a secret from being read; <paramref name="at"/> is what its two fields begin with.</summary>
    public static IEnumerable<string> SecretFaults(string at, string? environmentVariable, string? file) =>
    [
        .. environmentVariable is null ? [] : new SecretSource { EnvironmentVariable = environmentVariable }.Faults(at + "EnvironmentVariable"),
        .. file is null ? [] : new SecretSource { File = file }.Faults(at + "File"),
    ];

    /// <summary>What keeps authorities from being trusted.</summary>
    public static IEnumerable<string> AuthorityFaults(string field, string? file) => file is null ? [] : Try(field, file, () =>
    {
        X509Certificate2Collection authorities = [];
        authorities.ImportFromPemFile(file);
        return authorities.Count > 0 ? null : "it holds no certificate.";
    });

    /// <summary>What keeps a certificate with its key from being shown; <paramref name="at"/> is what <c>certificateFile</c> and <c>keyFile</c> follow.</summary>
    public static IEnumerable<string> CertificateFaults(string at, string? certificateFile, string? keyFile)
    {
        if (certificateFile is null)
        {
            return [];
        }

        string[] unreadable =
        [
            .. OpenFaults(at + "certificateFile", certificateFile),
            .. keyFile is null ? [] : OpenFaults(at + "keyFile", keyFile),
        ];
        return unreadable.Length > 0 ? unreadable : Try(at + "certificateFile", certificateFile, () =>
        {
            try
            {
                X509Certificate2.CreateFromPemFile(certificateFile, keyFile).Dispose();
                return null;
            }
            catch (Exception failure) when (failure is CryptographicException or ArgumentException)
            {
                return $"it and {(keyFile is null ? "the key within it" : $"the key in '{keyFile}'")} are no pair: {failure.Message}";
            }
        });
    }

    private static IEnumerable<string> Try(string field, string file, Func<string?> fault)
    {
        try
        {
            return fault() is { } wrong ? [$"{field}: file '{file}' cannot be used: {wrong}"] : [];
        }
        catch (Exception failure) when (failure is IOException or UnauthorizedAccessException or ArgumentException or CryptographicException or InvalidDataException)
        {
            return [$"{field}: file '{file}' cannot be used: {failure.Message}"];
        }
    }
}
