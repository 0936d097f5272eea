using System.Globalization;

namespace DriftWatch.Gas.Quantities;

/// <summary>
/// Volume that gas fills. Range 0 to 1e6 m3, both ends included; <c>default</c> is 0. A standard volume (see
/// <see cref="StandardCondition"/>) is this type too, and the member that gives it says so.
/// </summary>
public readonly record struct GasVolume
{
    private const double HighestCubicMetres = 1e6;
    private const double LitresPerCubicMetre = 1000;
    private const string Remedy = "Check the unit (litres or cubic metres).";

    private GasVolume(double cubicMetres) => CubicMetres = cubicMetres;

    /// <summary>Volume in m3.</summary>
    public double CubicMetres { get; }

    /// <summary>Volume in litres (1 litre = 0.001 m3).</summary>
    public double Litres => CubicMetres * LitresPerCubicMetre;

    /// <summary>Takes a volume in m3, 0 to 1e6.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static GasVolume FromCubicMetres(double cubicMetres) =>
        new(Require.Within(cubicMetres, 0, HighestCubicMetres, nameof(cubicMetres), "Gas volume", "m3", Remedy));

    /// <summary>Takes a volume in litres, 0 to 1e9.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static GasVolume FromLitres(double litres) => new(
        Require.Within(litres, 0, HighestCubicMetres * LitresPerCubicMetre, nameof(litres), "Gas volume", "litres", Remedy)
        / LitresPerCubicMetre);

    /// <summary>Litres, culture-invariant, for logs and messages.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Litres} litres");
}
