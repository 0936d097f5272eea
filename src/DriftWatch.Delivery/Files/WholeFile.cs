namespace DriftWatch.Delivery.Files;

/// <summary>Writes a file so that it appears whole or not at all, and survives a loss of power once it is there.</summary>
public static class WholeFile
{
    /// <summary>Writes a file, in the place of the one of its name where there is one.</summary>
    /// <param name="path">Path of the file; its folder is made where it is missing.</param>
    /// <param name="content">All that it is to hold.</param>
    /// <param name="cancellationToken">Leaves the former file as it is.</param>
    /// <exception cref="IOException">It cannot be written; the former file is as it was.</exception>
    public static async Task WriteAsync(string path, ReadOnlyMemory<byte> content, CancellationToken cancellationToken)
    {
        string folder = Path.GetDirectoryName(path)!;
        _ = Directory.CreateDirectory(folder);
        // In the same folder, so that the rename stays inside one file system; what a crash leaves is written over.
        string unfinished = path + ".tmp";
        FileStream file = new(unfinished, FileMode.Create, FileAccess.Write, FileShare.None, bufferSize: 0, useAsync: true);
        await using (file.ConfigureAwait(false))
        {
            await file.WriteAsync(content, cancellationToken).ConfigureAwait(false);
            file.Flush(flushToDisk: true);
        }

        File.Move(unfinished, path, overwrite: true);
        FolderFlush.Flush(folder);
    }
}
