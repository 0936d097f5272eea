namespace DriftWatch.Host.Web.Api;

/// <summary>Readings in order of time.</summary>
/// <param name="Items">The readings.</param>
/// <param name="Next">What to give as <c>from</c> for those that follow; null when these are the last.</param>
/// <param name="Note">What is to be known of where they come from; null when there is nothing to say.</param>
internal sealed record ReadingPage(IReadOnlyList<ReadingData> Items, DateTimeOffset? Next, string? Note);
