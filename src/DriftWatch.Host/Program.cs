using System.CommandLine;
using DriftWatch.Host.Commands;
using DriftWatch.Storage;

RootCommand root = new("DriftWatch says how much nitrogen hydraulic accumulators have left, how fast it goes, and what is to be done by when.")
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
    ExampleSettingsCommand.Create(),
    SettingsCommand.Create(),
};
try
{
    ParseResult parsed = root.Parse(args);
    if (parsed.Errors.Count > 0)
    {
        await parsed.InvokeAsync();
        return ExitCode.BadInput;
    }

    return await parsed.InvokeAsync(new InvocationConfiguration
    {
        EnableDefaultExceptionHandler = false,

        // A busy machine needs more than the usual 2 s to commit, acknowledge and take leave of the broker.
        ProcessTerminationTimeout = TimeSpan.FromSeconds(30),
    });
}
catch (Exception exception) when (exception is StoreUnavailableException or IOException or InvalidDataException or UnauthorizedAccessException or InvalidOperationException or ArgumentException)
{
    await Console.Error.WriteLineAsync(exception.Message);
    return ExitCode.Failed;
}
