namespace DriftWatch.Delivery.Documents;

/// <summary>The vessel inside a <see cref="JobDocument"/>.</summary>
/// <param name="Id">Key of the vessel in the register.</param>
/// <param name="Description">What it is.</param>
/// <param name="Place">Where it is.</param>
public sealed record VesselContent(string Id, string Description, string Place);
