namespace DriftWatch.Plant.Following;

/// <summary>Something on record that counts for an assessment from a moment on.</summary>
/// <param name="At">The moment, UTC.</param>
/// <param name="What">All of it in one text: equal only when it says the same.</param>
public readonly record struct BasisRecord(DateTimeOffset At, string What);
