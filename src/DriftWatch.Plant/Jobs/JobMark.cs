namespace DriftWatch.Plant.Jobs;

/// <summary>That somebody has said something of a job that stands.</summary>
/// <param name="Who">Who.</param>
/// <param name="At">When it was so, UTC.</param>
public sealed record JobMark(string Who, DateTimeOffset At);
