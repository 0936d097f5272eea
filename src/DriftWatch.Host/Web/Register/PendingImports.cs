using DriftWatch.Plant.People;

namespace DriftWatch.Host.Web.Register;

/// <summary>Register files that people have shown and not yet taken in: one a person, kept in memory for half an hour. From any thread.</summary>
internal sealed class PendingImports(TimeProvider time)
{
    private const int MostKept = 8;

    private static readonly TimeSpan Kept = TimeSpan.FromMinutes(30);

    private readonly Lock _lock = new();
    private readonly Dictionary<string, (string Text, DateTimeOffset At)> _files = new(StringComparer.Ordinal);

    public void Keep(Person person, string text)
    {
        lock (_lock)
        {
            DateTimeOffset now = time.GetUtcNow();
            _files[person.Id] = (text, now);
            foreach (string old in _files.OrderByDescending(file => file.Value.At).Select((file, i) => (file, i)).Where(one => one.i >= MostKept || now - one.file.Value.At > Kept).Select(one => one.file.Key).ToList())
            {
                _ = _files.Remove(old);
            }
        }
    }

    /// <summary>The file of a person; null when there is none any more.</summary>
    public string? Of(Person person)
    {
        lock (_lock)
        {
            return _files.TryGetValue(person.Id, out (string Text, DateTimeOffset At) file) && time.GetUtcNow() - file.At <= Kept ? file.Text : null;
        }
    }

    public void Drop(Person person)
    {
        lock (_lock)
        {
            _ = _files.Remove(person.Id);
        }
    }
}
