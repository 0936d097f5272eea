namespace DriftWatch.Host.Keeping;

/// <summary>
/// The claim of a running service on its data folder: two services that assess and tell from one store would tell everything twice. The
/// system takes it back when the process ends, however it ends.
/// </summary>
internal sealed class FolderClaim : IDisposable
{
    private const int SharingViolation = unchecked((int)0x80070020);
    private const int LockViolation = unchecked((int)0x80070021);

    /// <summary>EWOULDBLOCK.</summary>
    private const int HeldOnMacOS = 35;
    private const int HeldOnLinux = 11;

    private readonly FileStream _held;

    private FolderClaim(FileStream held) => _held = held;

    /// <summary>Claims a folder; null where another process holds it.</summary>
    /// <exception cref="IOException">The folder, or the file of the claim, cannot be written.</exception>
    /// <exception cref="UnauthorizedAccessException">It may not be written.</exception>
    public static FolderClaim? On(string folder)
    {
        string file = Path.Combine(folder, "driftwatch.lock");
        try
        {
            return new FolderClaim(new FileStream(file, FileMode.OpenOrCreate, FileAccess.ReadWrite, FileShare.None));
        }
        catch (IOException failure) when (IsHeld(failure))
        {
            return null;
        }
        catch (IOException failure)
        {
            throw new IOException(
                $"The data folder cannot be claimed, as its file '{file}' cannot be opened: {failure.Message} See that the disk is there and in order, and that this user may write the folder.",
                failure);
        }
    }

    public void Dispose() => _held.Dispose();

    /// <summary>A disk that fails must not pass for another service, which nobody would find.</summary>
    private static bool IsHeld(IOException failure) => OperatingSystem.IsWindows()
        ? failure.HResult is SharingViolation or LockViolation
        : failure.HResult == (OperatingSystem.IsMacOS() ? HeldOnMacOS : HeldOnLinux);
}
