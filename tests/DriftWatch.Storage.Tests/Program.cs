using Xunit.Runner.InProc.SystemConsole;

namespace DriftWatch.Storage.Tests;

internal static class Program
{
    private static Task<int> Main(string[] args) => args switch
    {
        [CrashWriter.UntilKilled, string path] => Task.FromResult(CrashWriter.Run(path)),
        [CrashWriter.UntilFull, string path] => Task.FromResult(CrashWriter.RunUntilFull(path)),
        _ => ConsoleRunner.Run(args),
    };
}
