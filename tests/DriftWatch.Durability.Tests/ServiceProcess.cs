using System.Diagnostics;
using System.Globalization;
using DriftWatch.TestPeers;

namespace DriftWatch.Durability.Tests;

/// <summary>The service as a process of its own: <c>driftwatch run</c> with a settings file.</summary>
internal sealed class ServiceProcess : IDisposable
{
    private readonly Process _process;
    private readonly Task _started;

    private ServiceProcess(ProcessStartInfo start)
    {
        start.RedirectStandardOutput = true;
        start.RedirectStandardError = true;
        start.Environment["DOTNET_TieredPGO"] = "0";
        _started = Log.FromNowAsync("Application started");
        _process = new Process { StartInfo = start };
        _process.OutputDataReceived += (_, line) => Log.Add(line.Data ?? "");
        _process.ErrorDataReceived += (_, line) => Log.Add(line.Data ?? "");
        _process.Start();
        _process.BeginOutputReadLine();
        _process.BeginErrorReadLine();
    }

    /// <summary>What it logs.</summary>
    public HeardLines Log { get; } = new();

    public bool HasExited => _process.HasExited;

    public int Id => _process.Id;

    public static ServiceProcess Start(string settings) => new(new ProcessStartInfo("dotnet", ["exec", Program, "run", "--settings", settings]));

    /// <summary>Runs another command beside it to its end: what it wrote; it must end well.</summary>
    public static async Task<string> RunAsync(params string[] arguments)
    {
        (int exitCode, string said) = await TryAsync(arguments);
        Assert.True(exitCode == 0, said);
        return said;
    }

    /// <summary>Runs another command beside it to its end, well or not.</summary>
    public static async Task<(int ExitCode, string Said)> TryAsync(params string[] arguments)
    {
        using Process process = Process.Start(new ProcessStartInfo("dotnet", ["exec", Program, .. arguments]) { RedirectStandardOutput = true, RedirectStandardError = true })!;
        Task<string> errors = process.StandardError.ReadToEndAsync(TestContext.Current.CancellationToken);
        string output = await process.StandardOutput.ReadToEndAsync(TestContext.Current.CancellationToken);
        await process.WaitForExitAsync(TestContext.Current.CancellationToken);
        return (process.ExitCode, output + await errors);
    }

    /// <summary>Starts it with a limit on the size of each file that it writes, which <see cref="LiftFileLimitAsync"/> lifts.</summary>
    public static ServiceProcess StartWithFileLimit(string settings, int kibibytes)
    {
        // The signal for going over the limit is ignored, so that the write fails instead. The runtime's own doubly mapped
        // memory counts as a file, hence its switch.
        string command = string.Create(
            CultureInfo.InvariantCulture, $"trap '' XFSZ; ulimit -S -f {kibibytes}; exec dotnet exec '{Program}' run --settings '{settings}'");
        var start = new ProcessStartInfo("bash", ["-c", command]);
        start.Environment["DOTNET_EnableWriteXorExecute"] = "0";
        return new ServiceProcess(start);
    }

    public async Task LiftFileLimitAsync()
    {
        using Process lift = Process.Start("prlimit", ["--pid", Id.ToString(CultureInfo.InvariantCulture), "--fsize=unlimited:"]);
        await lift.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.Equal(0, lift.ExitCode);
    }

    /// <summary>SIGKILL: no chance to put anything in order.</summary>
    public async Task KillAsync()
    {
        Assert.False(HasExited, $"The service ended by itself:\n{Log}");
        _process.Kill();
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
    }

    /// <summary>Ends when all its parts run. Its pages come last: readings are taken before anybody can ask over HTTP.</summary>
    public async Task StartedAsync()
    {
        await Task.WhenAny(_started, _process.WaitForExitAsync()).WaitAsync(MosquittoBroker.Patience, TestContext.Current.CancellationToken);
        Assert.False(HasExited, $"The service ended by itself:\n{Log}");
    }

    /// <summary>SIGTERM, once it is up: a process that is asked to end before it hears signals ends by them, as any does.</summary>
    public async Task TerminateAsync()
    {
        await StartedAsync();
        using Process signal = Process.Start("kill", ["-TERM", Id.ToString(CultureInfo.InvariantCulture)]);
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(_process.ExitCode == 0, $"Asked to end, the service ended with {_process.ExitCode}:\n{Log}");
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();

            // While it still writes, its folder cannot be removed, and that would be told in place of what the test failed of.
            _process.WaitForExit(MosquittoBroker.Patience);
        }

        _process.Dispose();
    }

    private static string Program => Path.Combine(AppContext.BaseDirectory, "driftwatch.dll");
}
