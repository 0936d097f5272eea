using System.Diagnostics;

namespace DriftWatch.Host.Tests;

/// <summary>The program as a process of its own, as a user starts it.</summary>
internal sealed class ProgramRun : IDisposable
{
    private readonly Process _process;
    private readonly List<string> _lines = [];
    private readonly List<(string Text, TaskCompletionSource<string> Said)> _awaited = [];

    private ProgramRun(Process process)
    {
        _process = process;
        Output = ReadAsync(process.StandardOutput);
        Errors = process.StandardError.ReadToEndAsync();
    }

    public Task<string> Output { get; }

    public Task<string> Errors { get; }

    public bool HasExited => _process.HasExited;

    public int Id => _process.Id;

    public static ProgramRun Start(params string[] arguments) => StartIn(Repository.Root, arguments);

    /// <summary>Starts it as from a folder.</summary>
    public static ProgramRun StartIn(string folder, params string[] arguments) =>
        StartDotnetIn(folder, ["exec", Path.Combine(AppContext.BaseDirectory, "driftwatch.dll"), .. arguments]);

    /// <summary>Starts the SDK's own command as from a folder.</summary>
    public static ProgramRun StartDotnetIn(string folder, params string[] arguments)
    {
        var start = new ProcessStartInfo("dotnet", arguments)
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = folder,
        };
        return new ProgramRun(Process.Start(start) ?? throw new InvalidOperationException("The program did not start."));
    }

    /// <summary>Runs to its end and gives the exit code.</summary>
    public static Task<(int ExitCode, string Output, string Errors)> ToEndAsync(params string[] arguments) => ToEndInAsync(Repository.Root, arguments);

    /// <summary>The same as from a folder.</summary>
    public static async Task<(int ExitCode, string Output, string Errors)> ToEndInAsync(string folder, params string[] arguments)
    {
        using ProgramRun run = StartIn(folder, arguments);
        int exitCode = await run.ExitAsync();
        return (exitCode, await run.Output, await run.Errors);
    }

    /// <summary>Waits until the output holds a text, and gives the line.</summary>
    public async Task<string> SaysAsync(string text)
    {
        TaskCompletionSource<string> said = new(TaskCreationOptions.RunContinuationsAsynchronously);
        lock (_lines)
        {
            if (_lines.Find(line => line.Contains(text, StringComparison.Ordinal)) is { } before)
            {
                return before;
            }

            _awaited.Add((text, said));
        }

        return await said.Task.WaitAsync(TestContext.Current.CancellationToken);
    }

    public async Task<int> ExitAsync()
    {
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return _process.ExitCode;
    }

    /// <summary>SIGKILL: the process gets no chance to put anything in order.</summary>
    public async Task KillAsync()
    {
        _process.Kill();
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
    }

    public async Task<int> TerminateAsync()
    {
        using Process signal = Process.Start("kill", ["-TERM", _process.Id.ToString(System.Globalization.CultureInfo.InvariantCulture)]);
        await signal.WaitForExitAsync(TestContext.Current.CancellationToken);
        return await ExitAsync();
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        _process.Dispose();
    }

    private async Task<string> ReadAsync(StreamReader output)
    {
        while (await output.ReadLineAsync() is { } line)
        {
            lock (_lines)
            {
                _lines.Add(line);
                foreach ((_, TaskCompletionSource<string> said) in _awaited.Where(one => line.Contains(one.Text, StringComparison.Ordinal)))
                {
                    said.TrySetResult(line);
                }
            }
        }

        lock (_lines)
        {
            foreach ((string text, TaskCompletionSource<string> said) in _awaited)
            {
                said.TrySetException(new IOException($"The program ended without saying '{text}'."));
            }

            return string.Join(Environment.NewLine, _lines);
        }
    }
}
