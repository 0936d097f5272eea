namespace DriftWatch.IngestBenchmark;

/// <summary>A folder for one measurement, gone afterwards.</summary>
internal sealed class ScratchFolder : IDisposable
{
    private readonly DirectoryInfo _folder = Directory.CreateTempSubdirectory("driftwatch-benchmark-");

    public string Store => File("plant.db");

    public string File(string name) => Path.Combine(_folder.FullName, name);

    /// <summary>Bytes of the store: the file with its write-ahead log.</summary>
    public long StoreBytes => _folder.GetFiles("plant.db*").Where(file => !file.Name.EndsWith("-shm", StringComparison.Ordinal)).Sum(file => file.Length);

    public void Dispose() => _folder.Delete(recursive: true);
}
