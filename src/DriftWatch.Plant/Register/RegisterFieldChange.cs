namespace DriftWatch.Plant.Register;

/// <summary>A field that differs between two states of a register file.</summary>
/// <param name="VesselId">The vessel; empty for what stands beside the vessels.</param>
/// <param name="Field">Path of the field within the vessel or the file.</param>
/// <param name="Before">The value before, as JSON; null where there was none.</param>
/// <param name="After">The value after, as JSON; null where there is none.</param>
public readonly record struct RegisterFieldChange(string VesselId, string Field, string? Before, string? After);
