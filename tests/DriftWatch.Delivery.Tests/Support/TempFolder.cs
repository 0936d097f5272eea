namespace DriftWatch.Delivery.Tests.Support;

/// <summary>A folder of a test's own; gone afterwards.</summary>
internal sealed class TempFolder : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("driftwatch-delivery-");

    public string Path => _folder.FullName;

    public void Dispose() => _folder.Delete(recursive: true);
}
