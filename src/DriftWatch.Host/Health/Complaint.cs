namespace DriftWatch.Host.Health;

/// <summary>Something that is wrong with a part of the service.</summary>
/// <param name="Matter">What it is about, a word that stays the same while it lasts.</param>
/// <param name="State">How bad it is.</param>
/// <param name="What">What is wrong, a sentence.</param>
/// <param name="Mend">What is to be done about it, a sentence.</param>
public sealed record Complaint(string Matter, HealthState State, string What, string Mend)
{
    /// <summary>Since when, UTC; set by the health of the service.</summary>
    public DateTimeOffset Since { get; init; }
}
