namespace DriftWatch.Plant.Records;

/// <summary>That a record is wrong and counts no more. Stands beside it for ever; nothing is deleted.</summary>
/// <param name="Id">Id that the sender gave it.</param>
/// <param name="RecordId">The record that is wrong.</param>
/// <param name="Who">Who says so.</param>
/// <param name="Why">Why; not empty.</param>
/// <param name="Source">The way it came.</param>
/// <param name="Received">When it was received, UTC.</param>
public sealed record WorkVoid(Guid Id, Guid RecordId, string Who, string Why, RecordSource Source, DateTimeOffset Received)
{
    /// <summary>All that is wrong with it, a line each; empty when it can be recorded.</summary>
    public IReadOnlyList<string> Faults() =>
    [
        .. Id == Guid.Empty ? (string[])["id is missing. Give a UUID of its own, and the same one when it is sent again."] : [],
        .. string.IsNullOrWhiteSpace(Who) || Who.Length > 200 ? (string[])["who is missing or too long. Name who voids it, in up to 200 characters."] : [],
        .. string.IsNullOrWhiteSpace(Why) || Why.Length > 2000 ? (string[])["why is missing or too long. Say in up to 2000 characters what is wrong with the record."] : [],
    ];
}
