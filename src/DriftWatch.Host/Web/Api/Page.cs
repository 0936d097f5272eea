namespace DriftWatch.Host.Web.Api;

/// <summary>A page of a list. The header Link names the next and the previous one (RFC 8288).</summary>
/// <param name="Items">What stands on this page.</param>
/// <param name="Number">Number of the page, from 1.</param>
/// <param name="Size">Most items on a page.</param>
/// <param name="Total">Items on all pages.</param>
internal sealed record Page<T>(IReadOnlyList<T> Items, int Number, int Size, int Total);
