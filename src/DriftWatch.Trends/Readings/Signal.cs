namespace DriftWatch.Trends.Readings;

/// <summary>
/// What a transducer or contact on a vessel tells. The numbers are the order in which readings of one instant are
/// taken in: a gas pressure is judged last, with the temperature and the fluid side of its own instant at hand.
/// </summary>
public enum Signal : byte
{
    /// <summary>Temperature of the gas, K.</summary>
    GasTemperature = 1,

    /// <summary>Pressure of the fluid side, Pa, gauge or absolute as its sensor is registered.</summary>
    FluidPressure = 2,

    /// <summary>Contact that closes when the fluid side is fully released: 1 released, 0 not.</summary>
    Depressurised = 3,

    /// <summary>Pressure of the gas side, Pa, gauge or absolute as its sensor is registered.</summary>
    GasPressure = 4,
}
