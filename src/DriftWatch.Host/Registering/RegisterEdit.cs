using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Registering;

/// <summary>What came of a change to the register.</summary>
/// <param name="Result">In one word.</param>
/// <param name="Defects">What is wrong with the register as it would be; empty unless it was refused.</param>
/// <param name="Changes">The fields that were changed; empty unless it was done.</param>
public sealed record RegisterEdit(RegisterEditResult Result, IReadOnlyList<RegisterDefect> Defects, IReadOnlyList<RegisterFieldChange> Changes);
