using System.Globalization;
using DriftWatch.Delivery.Tests.Crash;
using Xunit.Runner.InProc.SystemConsole;

namespace DriftWatch.Delivery.Tests;

internal static class Program
{
    private static Task<int> Main(string[] args) => args is [DeliveringProcess.Command, string folder, string brokerPort, string most]
        ? DeliveringProcess.RunAsync(folder, int.Parse(brokerPort, CultureInfo.InvariantCulture), int.Parse(most, CultureInfo.InvariantCulture))
        : ConsoleRunner.Run(args);
}
