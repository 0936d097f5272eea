using System.ComponentModel;
using System.Runtime.InteropServices;
using System.Text;

namespace DriftWatch.Delivery.Files;

/// <summary>
/// Makes a rename survive a loss of power. POSIX promises that only after fsync of the folder, which .NET has no call
/// for; Windows logs the rename in the file system's own journal.
/// </summary>
internal static class FolderFlush
{
    private const int ReadOnly = 0;

    public static void Flush(string folder)
    {
        if (OperatingSystem.IsWindows())
        {
            return;
        }

        int handle = Open([.. Encoding.UTF8.GetBytes(folder), 0], ReadOnly);
        if (handle < 0)
        {
            throw Failure(folder);
        }

        try
        {
            if (Sync(handle) != 0)
            {
                throw Failure(folder);
            }
        }
        finally
        {
            _ = Close(handle);
        }
    }

    private static IOException Failure(string folder)
    {
        Win32Exception cause = new(Marshal.GetLastPInvokeError());
        return new IOException($"Folder '{folder}' could not be flushed to disk: {cause.Message}.", cause);
    }

#pragma warning disable SYSLIB1054 // Generated marshalling would need unsafe code for three calls of plain numbers.
    [DllImport("libc", EntryPoint = "open", SetLastError = true)]
    private static extern int Open(byte[] path, int flags);

    [DllImport("libc", EntryPoint = "fsync", SetLastError = true)]
    private static extern int Sync(int handle);

    [DllImport("libc", EntryPoint = "close", SetLastError = true)]
    private static extern int Close(int handle);
#pragma warning restore SYSLIB1054
}
