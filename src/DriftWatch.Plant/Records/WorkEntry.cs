namespace DriftWatch.Plant.Records;

/// <summary>A record in the book.</summary>
/// <param name="Sequence">Order in which records were taken in; 1 or more.</param>
/// <param name="Record">The record.</param>
/// <param name="Voided">What made it void; null while it counts.</param>
public sealed record WorkEntry(long Sequence, WorkRecord Record, WorkVoid? Voided)
{
    /// <summary>Whether it counts.</summary>
    public bool Counts => Voided is null;
}
