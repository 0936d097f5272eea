using System.CommandLine;

namespace DriftWatch.Host.Commands;

/// <summary>All that the program can be asked for on the command line.</summary>
internal static class CommandTree
{
    public static RootCommand Create() => new("DriftWatch says how much nitrogen hydraulic accumulators have left, how fast it goes, and what is to be done by when.")
    {
        RunCommand.Create(),
        DemoCommand.Create(),
        PagesCommand.Create(),
        AssessCommand.Create(),
        RegisterCommand.Create(),
        RecordsCommand.Create(),
        ImportCommand.Create(),
        GuessProfileCommand.Create(),
        SetAsideCommand.Create(),
        QueueCommand.Create(),
        AlarmsCommand.Create(),
        PeopleCommand.Create(),
        SheetCommand.Create(),
        StoreCommand.Create(),
        ExampleSettingsCommand.Create(),
        SettingsCommand.Create(),
        HealthCommand.Create(),
    };
}
