namespace DriftWatch.Host.Tests;

/// <summary>A folder of a test's own, removed with it.</summary>
internal sealed class TemporaryFolder : IDisposable
{
    public string Path { get; } = Directory.CreateTempSubdirectory("driftwatch-").FullName;

    public string File(params string[] parts) => System.IO.Path.Combine([Path, .. parts]);

    public void Dispose() => Directory.Delete(Path, recursive: true);
}
