namespace DriftWatch.Host.Web.Register;

/// <summary>Fields that belong together.</summary>
/// <param name="Path">Way to their object in the entry of the vessel; empty for the entry itself.</param>
/// <param name="Title">What stands above them.</param>
/// <param name="Help">What the schema of the register says of them; empty for nothing.</param>
/// <param name="Required">Whether they must be there.</param>
/// <param name="Fields">The fields.</param>
public sealed record FormGroup(string Path, string Title, string Help, bool Required, IReadOnlyList<FormField> Fields);
