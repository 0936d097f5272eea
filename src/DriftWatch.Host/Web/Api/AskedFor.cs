namespace DriftWatch.Host.Web.Api;

/// <summary>What a call takes beside its path and body, for its description.</summary>
/// <param name="Parameters">Parameters of the query, with what each means.</param>
/// <param name="Conditional">Whether it asks for If-Match.</param>
/// <param name="Repeatable">Whether it takes an idempotency key.</param>
internal sealed record AskedFor(IReadOnlyList<(string Name, string Means)> Parameters, bool Conditional = false, bool Repeatable = false);
