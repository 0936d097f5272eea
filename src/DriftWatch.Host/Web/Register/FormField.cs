namespace DriftWatch.Host.Web.Register;

/// <summary>One field of the form of a vessel.</summary>
/// <param name="Path">Way to its value in the entry of the vessel, steps joined by dots; a place in a list is a step.</param>
/// <param name="Label">What stands beside it.</param>
/// <param name="Help">What the schema of the register says of it.</param>
/// <param name="IsNumber">Whether its value is a number.</param>
/// <param name="Choices">Values to choose from; empty for a free one.</param>
/// <param name="Required">Whether it must be given where its group is.</param>
public sealed record FormField(string Path, string Label, string Help, bool IsNumber, IReadOnlyList<string> Choices, bool Required);
