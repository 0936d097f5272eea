using System.CommandLine;
using DriftWatch.Host.Commands;
using DriftWatch.Storage;

try
{
    ParseResult parsed = CommandTree.Create().Parse(args);
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
