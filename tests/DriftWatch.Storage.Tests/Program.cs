using Xunit.Runner.InProc.SystemConsole;

namespace DriftWatch.Storage.Tests;

internal static class Program
{
    private static Task<int> Main(string[] args) => args switch
    {
        [CrashWriter.Argument, string path] => Task.FromResult(CrashWriter.Run(path)),
        _ => ConsoleRunner.Run(args),
    };
}
