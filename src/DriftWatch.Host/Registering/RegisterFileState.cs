namespace DriftWatch.Host.Registering;

/// <summary>The register file as somebody sees it before changing it.</summary>
/// <param name="Text">Its text.</param>
/// <param name="Version">Tells this state from any other: to be given back with the change.</param>
public sealed record RegisterFileState(string Text, string Version);
