namespace DriftWatch.Storage;

/// <summary>What became of a write that is asked for under conditions.</summary>
/// <param name="Kind">What.</param>
/// <param name="Why">Why it was refused; empty otherwise.</param>
public readonly record struct WriteOutcome(WriteOutcomeKind Kind, string Why)
{
    public static WriteOutcome Done => new(WriteOutcomeKind.Done, "");

    public static WriteOutcome Repeated => new(WriteOutcomeKind.Repeated, "");

    public static WriteOutcome Changed => new(WriteOutcomeKind.Changed, "It has changed since you looked: look again, then decide.");

    public static WriteOutcome KeyUsed => new(WriteOutcomeKind.KeyUsed, "This idempotency key stands for another request: give each request a key of its own.");

    public static WriteOutcome Refused(string why) => new(WriteOutcomeKind.Refused, why);
}
