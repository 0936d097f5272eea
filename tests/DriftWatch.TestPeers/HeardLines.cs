namespace DriftWatch.TestPeers;

/// <summary>Lines that a process writes, and who waits for which of them. From any thread.</summary>
public sealed class HeardLines
{
    private readonly Lock _lock = new();
    private readonly List<Awaited> _awaited = [];
    private readonly List<string> _lines = [];

    /// <summary>Takes a line in.</summary>
    public void Add(string line)
    {
        lock (_lock)
        {
            _lines.Add(line);
            for (int i = _awaited.Count - 1; i >= 0; i--)
            {
                if (line.Contains(_awaited[i].Text, StringComparison.Ordinal) && --_awaited[i].Left == 0)
                {
                    _awaited[i].Done.TrySetResult();
                    _awaited.RemoveAt(i);
                }
            }
        }
    }

    /// <summary>Ends when this many further lines with a text have come, counted from the call.</summary>
    public Task FromNowAsync(string text, int times = 1)
    {
        lock (_lock)
        {
            Awaited awaited = new(text) { Left = times };
            _awaited.Add(awaited);
            return awaited.Done.Task;
        }
    }

    /// <summary>How many lines with a text have come.</summary>
    public int Count(string text)
    {
        lock (_lock)
        {
            return _lines.Count(line => line.Contains(text, StringComparison.Ordinal));
        }
    }

    /// <summary>All lines.</summary>
    public override string ToString()
    {
        lock (_lock)
        {
            return string.Join("\n", _lines);
        }
    }

    private sealed class Awaited(string text)
    {
        public string Text => text;

        public int Left { get; set; }

        public TaskCompletionSource Done { get; } = new(TaskCreationOptions.RunContinuationsAsynchronously);
    }
}
