namespace DriftWatch.Host.Commands;

/// <summary>What the program tells its caller.</summary>
internal static class ExitCode
{
    public const int Done = 0;

    /// <summary>Done, and asked to say so: at least one vessel needs a hand.</summary>
    public const int NeedsAHand = 1;

    /// <summary>The service that was asked is not ready.</summary>
    public const int NotReady = 1;

    /// <summary>The command line or an input cannot be used; the message says why and how to mend it.</summary>
    public const int BadInput = 2;

    /// <summary>Something failed that should not have.</summary>
    public const int Failed = 3;

    /// <summary>Stopped on the way, by a signal: 128 and the number of SIGINT, as shells have it.</summary>
    public const int Stopped = 130;
}
