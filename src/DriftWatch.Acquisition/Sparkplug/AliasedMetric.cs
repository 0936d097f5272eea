using DriftWatch.Acquisition.Payloads;

namespace DriftWatch.Acquisition.Sparkplug;

/// <summary>What a birth certificate said of a metric that the register knows.</summary>
/// <param name="Device">Device; empty for the node itself.</param>
/// <param name="Source">The signal.</param>
/// <param name="DataType">Data type of its values.</param>
internal readonly record struct AliasedMetric(string Device, NamedSource Source, uint DataType);
