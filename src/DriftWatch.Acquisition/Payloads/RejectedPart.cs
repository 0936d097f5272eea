namespace DriftWatch.Acquisition.Payloads;

/// <summary>A part of a payload that was not taken.</summary>
/// <param name="Place">Which part: <c>payload</c>, or <c>record 3</c> (counted from 1), with its name where it has one.</param>
/// <param name="Reason">What is wrong and how to mend it.</param>
public sealed record RejectedPart(string Place, string Reason)
{
    /// <summary>Place and reason as one line.</summary>
    public override string ToString() => $"{Place}: {Reason}";
}
