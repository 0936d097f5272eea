namespace DriftWatch.Delivery.Answers;

/// <summary>What came of an answer.</summary>
/// <param name="Result">In one word.</param>
/// <param name="Reason">Why it was refused; empty otherwise.</param>
public sealed record AnswerReply(AnswerResult Result, string Reason = "");
