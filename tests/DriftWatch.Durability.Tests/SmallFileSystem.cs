using System.ComponentModel;
using System.Diagnostics;
using System.Globalization;

namespace DriftWatch.Durability.Tests;

/// <summary>A small file system in memory, which can be made larger while it is in use.</summary>
internal sealed class SmallFileSystem : IDisposable
{
    private readonly string[] _asRoot;

    private SmallFileSystem(string path, string[] asRoot)
    {
        Path = path;
        _asRoot = asRoot;
    }

    public string Path { get; }

    /// <summary>Mounts one; null where this user may not.</summary>
    public static SmallFileSystem? TryMount(int kibibytes)
    {
        string path = Directory.CreateTempSubdirectory("driftwatch-small-").FullName;
        string[] asRoot = Environment.UserName == "root" ? [] : ["sudo", "-n"];
        string options = string.Create(CultureInfo.InvariantCulture, $"size={kibibytes}k,mode=1777");
        if (Run([.. asRoot, "mount", "-t", "tmpfs", "-o", options, "tmpfs", path]))
        {
            return new SmallFileSystem(path, asRoot);
        }

        Directory.Delete(path);
        return null;
    }

    public void Grow(int kibibytes) => Assert.True(
        Run([.. _asRoot, "mount", "-o", string.Create(CultureInfo.InvariantCulture, $"remount,size={kibibytes}k"), Path]));

    public void Dispose()
    {
        Run([.. _asRoot, "umount", Path]);
        Directory.Delete(Path);
    }

    private static bool Run(string[] command)
    {
        try
        {
            using Process process = Process.Start(new ProcessStartInfo(command[0], command[1..]) { RedirectStandardError = true })!;
            process.WaitForExit();
            return process.ExitCode == 0;
        }
        catch (Win32Exception)
        {
            return false; // No such program.
        }
    }
}
