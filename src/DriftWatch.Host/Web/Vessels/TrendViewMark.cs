namespace DriftWatch.Host.Web.Vessels;

/// <summary>Something that happened to the vessel.</summary>
internal sealed record TrendViewMark(DateTimeOffset Instant, string What);
