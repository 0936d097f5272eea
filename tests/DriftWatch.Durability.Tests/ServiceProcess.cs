using System.Diagnostics;
using System.Globalization;
using DriftWatch.TestPeers;

namespace DriftWatch.Durability.Tests;

/// <summary>The service as a process of its own: <c>driftwatch run</c> with a settings file.</summary>
internal sealed class ServiceProcess : IDisposable
{
    private readonly Process _process;

    private ServiceProcess(ProcessStartInfo start)
    {
        start.RedirectStandardOutput = true;
        start.RedirectStandardError = true;
        start.Environment["DOTNET_TieredPGO"] = "0";
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

    public async Task TerminateAsync()
    {
        using Process signal = Process.Start("kill", ["-TERM", Id.ToString(CultureInfo.InvariantCulture)]);
        await _process.WaitForExitAsync(TestContext.Current.CancellationToken);
        Assert.True(_process.ExitCode == 0, Log.ToString());
    }

    public void Dispose()
    {
        if (!_process.HasExited)
        {
            _process.Kill();
        }

        _process.Dispose();
    }

    private static string Program => Path.Combine(AppContext.BaseDirectory, "driftwatch.dll");
}
