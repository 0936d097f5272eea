namespace DriftWatch.Host.Settings;

/// <summary>The folder of the store. It holds digests of passwords too: one that is made here is for its owner alone.</summary>
internal static class DataFolder
{
    /// <summary>Makes the folder where there is none; the rights of one that is there are its owner's affair.</summary>
    public static void Make(string folder)
    {
        if (OperatingSystem.IsWindows())
        {
            _ = Directory.CreateDirectory(folder);
            return;
        }

        _ = Directory.CreateDirectory(folder, UnixFileMode.UserRead | UnixFileMode.UserWrite | UnixFileMode.UserExecute);
    }
}
