using System.CommandLine;
using System.Text.Json;
using DriftWatch.Host.Settings;

namespace DriftWatch.Host.Commands;

/// <summary>Prints a settings file to start from.</summary>
internal static class ExampleSettingsCommand
{
    public static Command Create()
    {
        Command command = new("example-settings", "Print a settings file with all defaults, to start from.");
        command.SetAction(_ => Console.WriteLine(
            JsonSerializer.Serialize(new ServiceSettings { Register = "register.json" }, SettingsJson.Default.ServiceSettings)));
        return command;
    }
}
