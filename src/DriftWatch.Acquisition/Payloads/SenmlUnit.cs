using DriftWatch.Plant.Register;

namespace DriftWatch.Acquisition.Payloads;

/// <summary>A unit in a SenML field: one that is known, or the word that is not.</summary>
internal readonly record struct SenmlUnit(SourceUnit? Known, string? Unknown);
