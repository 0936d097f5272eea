namespace DriftWatch.Host.Web.Vessels;

/// <summary>When the lower limit is reached, 95 % interval, UTC; null for an end that may never come.</summary>
internal sealed record TrendViewCrossing(DateTimeOffset? Earliest, DateTimeOffset? Best, DateTimeOffset? Latest);
