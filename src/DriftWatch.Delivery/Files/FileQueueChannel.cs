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
    public string PathOf(JobNotice notice) => Path.Combine(_folder, QueueFileName.Of("job", notice.Key, "json"));

    /// <inheritdoc/>
    public Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken) =>
        WholeFile.WriteAsync(PathOf(notice), JobDocument.From(notice).ToUtf8Json(), cancellationToken);
}
