namespace DriftWatch.Host.Keeping;

/// <summary>
/// The claim of a running service on its data folder: two services that assess and tell from one store would tell everything twice. The
/// system takes it back when the process ends, however it ends.
/// </summary>
internal sealed class FolderClaim : IDisposable
{
    private readonly FileStream _held;

    private FolderClaim(FileStream held) => _held = held;

    /// <summary>Claims a folder; null where another process holds it.</summary>
    /// <exception cref="IOException">The folder cannot be written.</exception>
    /// <exception cref="UnauthorizedAccessException">The folder may not be written.</exception>
    public static FolderClaim? On(string folder)
    {
        string file = Path.Combine(folder, "driftwatch.lock");
        try
        {
            return new FolderClaim(new FileStream(file, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None));
        }
        catch (IOException) when (File.Exists(file))
        {
            return null;
        }
    }

    public void Dispose() => _held.Dispose();
}
