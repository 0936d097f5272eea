using System.CommandLine;
using System.Runtime.InteropServices;
using DriftWatch.Host;
using DriftWatch.Host.Commands;
using DriftWatch.Storage;

TimeSpan signalIsHeardWithin = TimeSpan.FromSeconds(1);
bool stopped = false;
using PosixSignalRegistration interrupted = PosixSignalRegistration.Create(PosixSignal.SIGINT, _ => stopped = true);
using PosixSignalRegistration terminated = PosixSignalRegistration.Create(PosixSignal.SIGTERM, _ => stopped = true);
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
catch (CannotListenException exception) when (!stopped)
{
    await Console.Error.WriteLineAsync(exception.Message);
    return ExitCode.BadInput;
}
catch (Exception exception) when (!stopped && (exception is StoreUnavailableException or IOException or InvalidDataException or UnauthorizedAccessException or InvalidOperationException or ArgumentException))
{
    await Console.Error.WriteLineAsync(exception.Message);
    return ExitCode.Failed;
}
catch (Exception exception) when (stopped || exception is OperationCanceledException || SpinWait.SpinUntil(() => stopped, signalIsHeardWithin))
{
    // A request that is given up fails in many ways, and may do so before the signal has been heard here.
    await Console.Error.WriteLineAsync("Stopped before it was done.");
    return ExitCode.Stopped;
}
