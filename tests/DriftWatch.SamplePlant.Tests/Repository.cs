using System.IO.Compression;
using System.Text;

namespace DriftWatch.SamplePlant.Tests;

/// <summary>The sample streams as they stand in the repository.</summary>
internal static class Repository
{
    public static string SampleStreams { get; } = Path.Combine(Top(), "sample-streams");

    public static string Text(string name)
    {
        return File.ReadAllText(Path.Combine(SampleStreams, name), Encoding.UTF8);
    }

    public static byte[] Decompressed(string name)
    {
        using FileStream file = File.OpenRead(Path.Combine(SampleStreams, name));
        using var gzip = new GZipStream(file, CompressionMode.Decompress);
        using var bytes = new MemoryStream();
        gzip.CopyTo(bytes);
        return bytes.ToArray();
    }

    private static string Top()
    {
        DirectoryInfo? folder = new(AppContext.BaseDirectory);
        while (folder is not null && !File.Exists(Path.Combine(folder.FullName, "DriftWatch.sln")))
        {
            folder = folder.Parent;
        }

        return folder?.FullName ?? throw new DirectoryNotFoundException("DriftWatch.sln stands in no folder above " + AppContext.BaseDirectory);
    }
}
