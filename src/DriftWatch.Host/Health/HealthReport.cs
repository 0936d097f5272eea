namespace DriftWatch.Host.Health;

/// <summary>The health of the service for programs.</summary>
/// <param name="State">The state of the worst part; null where no service runs.</param>
/// <param name="Parts">All parts in order of their names.</param>
internal sealed record HealthReport(HealthState? State, IReadOnlyList<PartHealth> Parts);
