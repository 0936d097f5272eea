namespace DriftWatch.SamplePlant;

/// <summary>A time without readings, <paramref name="From"/> included, <paramref name="To"/> not.</summary>
public sealed record Gap(DateTimeOffset From, DateTimeOffset To);
