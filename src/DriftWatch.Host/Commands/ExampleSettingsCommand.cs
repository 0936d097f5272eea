using System.CommandLine;
using DriftWatch.Host.Settings;

namespace DriftWatch.Host.Commands;

/// <summary>Prints a settings file to start from.</summary>
internal static class ExampleSettingsCommand
{
    public static Command Create()
    {
        Command command = new("example-settings", "Print a settings file with all defaults, to start from.");
        command.SetAction(_ => Console.WriteLine(SettingsJson.Write(new ServiceSettings { Register = "register.json" })));
        return command;
    }
}
