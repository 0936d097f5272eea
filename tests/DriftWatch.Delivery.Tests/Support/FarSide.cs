using System.Threading.Channels;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Delivery.Tests.Support;

/// <summary>A queue that takes notices as the test says, and tells which it has taken.</summary>
internal sealed class FarSide(string name, Func<JobNotice, CancellationToken, Task>? take = null) : IJobChannel
{
    private readonly Channel<string> _taken = Channel.CreateUnbounded<string>();

    public FarSide(string name, Func<JobNotice, Task> take)
        : this(name, (notice, _) => take(notice))
    {
    }

    public string Name => name;

    public TimeSpan AnswerTimeout { get; init; }

    public async Task DeliverAsync(JobNotice notice, CancellationToken cancellationToken)
    {
        await (take ?? ((_, _) => Task.CompletedTask))(notice, cancellationToken);
        await NoteAsync(notice.Key, cancellationToken);
    }

    /// <summary>Notes what was taken.</summary>
    public Task NoteAsync(string taken, CancellationToken cancellationToken) => _taken.Writer.WriteAsync(taken, cancellationToken).AsTask();

    public async Task<List<string>> Take(int count)
    {
        List<string> keys = [];
        while (keys.Count < count)
        {
            keys.Add(await _taken.Reader.ReadAsync(TestContext.Current.CancellationToken));
        }

        return keys;
    }
}
