using System.Diagnostics;

namespace DriftWatch.Host.Tests;

/// <summary>The program as a process of its own, as a user starts it.</summary>
internal sealed class ProgramRun : IDisposable
{
    private readonly Process _process;

    private ProgramRun(Process process, bool heard)
    {
        _process = process;
        Output = heard ? Task.FromResult("") : process.StandardOutput.ReadToEndAsync();
        Errors = process.StandardError.ReadToEndAsync();
    }

    public Task<string> Output { get; }

    public Task<string> Errors { get; }

    public bool HasExited => _process.HasExited;

    public int Id => _process.Id;

    public static ProgramRun Start(params string[] arguments) => Start(arguments, heard: false);

    /// <summary>Starts it to be heard line by line, see <see cref="NextLineAsync"/>.</summary>
    public static ProgramRun StartHeard(string[] arguments) => Start(arguments, heard: true);

    /// <summary>The next line of what it writes; null at its end.</summary>
    public ValueTask<string?> NextLineAsync() => _process.StandardOutput.ReadLineAsync(TestContext.Current.CancellationToken);

    private static ProgramRun Start(string[] arguments, bool heard)
    {
        string program = Path.Combine(AppContext.BaseDirectory, "driftwatch.dll");
        var start = new ProcessStartInfo("dotnet", ["exec", program, .. arguments])
        {
            RedirectStandardOutput = true,
            RedirectStandardError = true,
            WorkingDirectory = Repository.Root,
        };
        return new ProgramRun(Process.Start(start) ?? throw new InvalidOperationException("The program did not start."), heard);
    }

    /// <summary>Runs to its end and gives the exit code.</summary>
    public static async Task<(int ExitCode, string Output, string Errors)> ToEndAsync(params string[] arguments)
    {
        using ProgramRun run = Start(arguments);
        int exitCode = await run.ExitAsync();
        return (exitCode, await run.Output, await run.Errors);
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
}
