using System.Diagnostics;

namespace DriftWatch.TestPeers;

/// <summary>A server as a process of its own, whose output is listened to.</summary>
internal sealed class PeerProcess : IAsyncDisposable
{
    private readonly Process _process;
    private readonly Lock _lock = new();
    private readonly List<string> _lines = [];
    private TaskCompletionSource _spoke = new(TaskCreationOptions.RunContinuationsAsynchronously);
    private bool _ended;

    private PeerProcess(Process process)
    {
        _process = process;
        process.OutputDataReceived += (_, line) => Hear(line.Data);
        process.ErrorDataReceived += (_, line) => Hear(line.Data);
    }

    public static PeerProcess Start(ProcessStartInfo start)
    {
        start.RedirectStandardOutput = start.RedirectStandardError = true;
        Process process;
        try
        {
            process = Process.Start(start)!;
        }
        catch (System.ComponentModel.Win32Exception missing)
        {
            throw new InvalidOperationException($"{start.FileName} did not start; tests/run installs it.", missing);
        }

        PeerProcess peer = new(process);
        process.BeginOutputReadLine();
        process.BeginErrorReadLine();
        return peer;
    }

    /// <summary>Ends when one line fits, from the given one on; gives that line and the number of the next.</summary>
    public async Task<(string Line, int Next)> SaysAsync(Predicate<string> fits, int from = 0)
    {
        while (true)
        {
            Task spoke;
            lock (_lock)
            {
                for (int i = from; i < _lines.Count; i++)
                {
                    if (fits(_lines[i]))
                    {
                        return (_lines[i], i + 1);
                    }
                }

                if (_ended)
                {
                    throw new InvalidOperationException($"{_process.StartInfo.FileName} ended: {string.Join("\n", _lines)}");
                }

                spoke = _spoke.Task;
            }

            await spoke.WaitAsync(MosquittoBroker.Patience);
        }
    }

    public async ValueTask DisposeAsync()
    {
        if (!_process.HasExited)
        {
            _process.Kill(entireProcessTree: true);
        }

        await _process.WaitForExitAsync().WaitAsync(MosquittoBroker.Patience);
        _process.Dispose();
    }

    private void Hear(string? line)
    {
        lock (_lock)
        {
            if (line is null)
            {
                _ended = true;
            }
            else
            {
                _lines.Add(line);
            }

            _spoke.TrySetResult();
            _spoke = new TaskCompletionSource(TaskCreationOptions.RunContinuationsAsynchronously);
        }
    }
}
