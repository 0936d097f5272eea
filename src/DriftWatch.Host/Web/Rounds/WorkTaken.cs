namespace DriftWatch.Host.Web.Rounds;

/// <summary>What scripts are told of an entry they sent.</summary>
/// <param name="Id">The record's id; all zero when it was refused.</param>
/// <param name="Note">What else is to be known; empty for nothing.</param>
/// <param name="Faults">Why it was refused, a line each; empty when it is on record.</param>
internal sealed record WorkTaken(Guid Id, string Note, IReadOnlyList<string> Faults);
