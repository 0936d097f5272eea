using DriftWatch.Delivery.Security;

namespace DriftWatch.Delivery.Tests.Support;

/// <summary>A folder of a test's own; gone afterwards.</summary>
internal sealed class TempFolder : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("driftwatch-delivery-");

    /// <summary>A secret in a file of this folder.</summary>
    public SecretSource Secret(string secret)
    {
        string file = System.IO.Path.Combine(Path, $"secret-{Guid.NewGuid():N}");
        File.WriteAllText(file, secret + "\n");
        return new SecretSource { File = file };
    }

    public string Path => _folder.FullName;

    public void Dispose() => _folder.Delete(recursive: true);
}
