namespace DriftWatch.SamplePlant;

/// <summary>What parts gas and fluid.</summary>
public enum VesselType
{
    Bladder,
    Piston,
    Diaphragm,
}
