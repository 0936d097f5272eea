namespace DriftWatch.Storage.Tests.Support;

/// <summary>A folder of its own for a test's store; gone afterwards.</summary>
internal sealed class StoreFolder : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("driftwatch-store-");

    public string File => Path.Combine(_folder.FullName, "plant.db");

    public PlantStore Open(params string[] channels) => new(new StoreOptions { Path = File, Channels = channels });

    public void Dispose() => _folder.Delete(recursive: true);
}
