namespace DriftWatch.Plant.People;

/// <summary>A line of the audit log.</summary>
/// <param name="Number">Number of the line, rising with time.</param>
/// <param name="Entry">What was done.</param>
public sealed record AuditLine(long Number, AuditEntry Entry);
