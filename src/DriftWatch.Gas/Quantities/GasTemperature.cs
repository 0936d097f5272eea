using System.Globalization;

namespace DriftWatch.Gas.Quantities;

/// <summary>
/// Thermodynamic temperature of a gas. Range 1 to 2000 K (-272.15 to 1726.85 degrees C), both ends included. <c>default</c> is
/// 0 K, which no factory gives and every computation refuses.
/// </summary>
public readonly record struct GasTemperature
{
    private const double LowestKelvins = 1;
    private const double HighestKelvins = 2000;

    /// <summary>0 degrees C in K (SI Brochure, 9th edition, 2.3.1).</summary>
    public const double IcePointKelvins = 273.15;

    private const string Remedy = "Check the unit (K or degrees C) and the sensor.";

    private GasTemperature(double kelvins) => Kelvins = kelvins;

    /// <summary>Temperature in K.</summary>
    public double Kelvins { get; }

    /// <summary>Temperature in degrees C (K minus 273.15).</summary>
    public double DegreesCelsius => Kelvins - IcePointKelvins;

    /// <summary>Takes a temperature in K, 1 to 2000.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static GasTemperature FromKelvins(double kelvins) =>
        new(Require.Within(kelvins, LowestKelvins, HighestKelvins, nameof(kelvins), "Gas temperature", "K", Remedy));

    /// <summary>Takes a temperature in degrees C, -272.15 to 1726.85.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static GasTemperature FromDegreesCelsius(double degreesCelsius) => new(IcePointKelvins + Require.Within(
        degreesCelsius,
        LowestKelvins - IcePointKelvins,
        HighestKelvins - IcePointKelvins,
        nameof(degreesCelsius),
        "Gas temperature",
        "degrees C",
        Remedy));

    /// <summary>Degrees C, culture-invariant, for logs and messages.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{DegreesCelsius:0.######} degrees C");
}
