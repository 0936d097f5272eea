namespace DriftWatch.Plant.Register;

/// <summary>That the register has changed.</summary>
/// <param name="Before">The register before.</param>
/// <param name="After">The register now.</param>
/// <param name="Vessels">Ids of the vessels that are new, gone or not as before.</param>
public sealed record RegisterChange(VesselRegister Before, VesselRegister After, IReadOnlyList<string> Vessels);
