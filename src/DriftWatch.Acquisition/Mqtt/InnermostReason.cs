namespace DriftWatch.Acquisition.Mqtt;

/// <summary>Why a connection failed, in the words of what failed: the library wraps it in sentences that say only that it did.</summary>
internal static class InnermostReason
{
    /// <summary>The message of the innermost exception that is not merely a request given up.</summary>
    public static string Of(Exception exception)
    {
        Exception why = exception;
        while (why.InnerException is { } inner and not OperationCanceledException)
        {
            why = inner;
        }

        return why.Message;
    }
}
