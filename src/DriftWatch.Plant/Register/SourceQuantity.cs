namespace DriftWatch.Plant.Register;

/// <summary>What a unit measures.</summary>
public enum SourceQuantity
{
    /// <summary>Pressure; Pa in SI.</summary>
    Pressure,

    /// <summary>Temperature; K in SI.</summary>
    Temperature,
}
