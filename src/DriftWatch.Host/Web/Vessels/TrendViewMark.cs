namespace DriftWatch.Host.Web.Vessels;

/// <summary>Something that happened to the vessel.</summary>
/// <param name="Instant">When, UTC.</param>
/// <param name="What">What, in words.</param>
/// <param name="PrechargePa">Precharge that a check by hand found, Pa absolute at the reference temperature; null for none.</param>
/// <param name="HalfWidthPa">Half-width of its 95 % interval, Pa.</param>
internal sealed record TrendViewMark(DateTimeOffset Instant, string What, double? PrechargePa = null, double? HalfWidthPa = null);
