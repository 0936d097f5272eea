namespace DriftWatch.Gas.Nitrogen;

/// <summary>What a pressure and temperature say about the charge of a closed gas space.</summary>
/// <param name="PressureAtReferencePa">Absolute pressure the same gas has at the reference temperature, Pa.</param>
/// <param name="MolarDensityMolPerM3">Molar density, mol/m3; it changes only when gas goes in or out.</param>
public readonly record struct CorrectedReading(double PressureAtReferencePa, double MolarDensityMolPerM3);
