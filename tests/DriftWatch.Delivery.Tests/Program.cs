using DriftWatch.Delivery.Tests.Crash;
using Xunit.Runner.InProc.SystemConsole;

namespace DriftWatch.Delivery.Tests;

internal static class Program
{
    private static Task<int> Main(string[] args) => args is [DeliveringProcess.Command, string folder, string brokerPort]
        ? DeliveringProcess.RunAsync(folder, int.Parse(brokerPort, System.Globalization.CultureInfo.InvariantCulture))
        : ConsoleRunner.Run(args);
}
