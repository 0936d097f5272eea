namespace DriftWatch.Host.Web.Answers;

/// <summary>That an answer is on record.</summary>
/// <param name="Result"><c>recorded</c>, or <c>repeated</c> where it was on record already.</param>
public sealed record AnswerTaken(string Result);
