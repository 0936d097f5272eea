using System.CommandLine;
using DriftWatch.Host.Settings;

namespace DriftWatch.Host.Commands;

/// <summary>Checks the settings, or shows them as they count.</summary>
internal static class SettingsCommand
{
    public static Command Create() => new("settings", "Look at the settings: the file with the environment variables over it.") { Check(), Show() };

    private static Command Check()
    {
        Option<FileInfo> file = SettingsOption.Create();
        Command command = new("check", "Check the settings and the register as 'run' does, and start nothing.") { file };
        command.SetAction(parsed =>
        {
            if (SettingsOption.Read(parsed.GetRequiredValue(file), Console.Error, toRun: true) is not { } settings
                || RegisterFile.Open(settings.Register, Console.Error) is not { } register)
            {
                return ExitCode.BadInput;
            }

            Console.WriteLine($"The settings are good. Register: {register.Plant}, {register.Vessels.Count} vessels.");
            return ExitCode.Done;
        });
        return command;
    }

    private static Command Show()
    {
        Option<FileInfo> file = SettingsOption.Create();
        Command command = new("show", "Print the settings as they count, every default written out. They name where secrets stand and hold none; what may be one in an address is hidden.") { file };
        command.SetAction(parsed =>
        {
            if (SettingsOption.Read(parsed.GetRequiredValue(file), Console.Error) is not { } settings)
            {
                return ExitCode.BadInput;
            }

            Console.WriteLine(SettingsJson.Show(settings));
            return ExitCode.Done;
        });
        return command;
    }
}
