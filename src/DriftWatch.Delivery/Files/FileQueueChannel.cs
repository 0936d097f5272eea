using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Delivery.Files;

/// <summary>
/// A folder as a maintenance queue: one JSON document a notice. A file appears whole or not at all, under a name that
/// follows from the notice's key, so that a notice delivered twice stands there once.
/// </summary>
public sealed class FileQueueChannel : IJobChannel
{
    private readonly string _folder;

    /// <summary>A queue in a folder, which is made when it is missing.</summary>
    public FileQueueChannel(string name, string folder)
    {
        ArgumentException.ThrowIfNullOrWhiteSpace(name);
        ArgumentException.ThrowIfNullOrWhiteSpace(folder);
        Name = name;
        _folder = Path.GetFullPath(folder);
    }

    /// <inheritdoc/>
    public string Name { get; }

    /// <summary>The file that a notice is written to.</summary>
    public string PathOf(JobNotice notice) => Path.Combine(_folder, QueueFileName.Of(notice.Key));

    /// <inheritdoc/>
    public async Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken)
    {
        _ = Directory.CreateDirectory(_folder);
        string path = PathOf(notice);
        // In the same folder, so that the rename stays inside one file system; what a crash leaves is written over.
        string unfinished = path + ".tmp";
        byte[] document = JobDocument.From(notice).ToUtf8Json();
        FileStream file = new(unfinished, FileMode.Create, FileAccess.Write, FileShare.None, bufferSize: 0, useAsync: true);
        await using (file.ConfigureAwait(false))
        {
            await file.WriteAsync(document, cancellationToken).ConfigureAwait(false);
            file.Flush(flushToDisk: true);
        }

        File.Move(unfinished, path, overwrite: true);
        FolderFlush.Flush(_folder);
    }
}
