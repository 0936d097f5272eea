using System.Globalization;

namespace DriftWatch.Gas.Quantities;

/// <summary>
/// Amount of nitrogen, in mol or by its mass (28.0134 g/mol). Range 0 to 1e9 mol, both ends included; <c>default</c> is none.
/// </summary>
public readonly record struct AmountOfGas
{
    /// <summary>Molar mass of nitrogen in g/mol.</summary>
    public const double NitrogenGramsPerMole = 28.0134;

    private const double HighestMoles = 1e9;
    private const double GramsPerKilogram = 1000;
    private const string Remedy = "An amount is never negative: to take gas out, state the amount taken out.";

    private AmountOfGas(double moles) => Moles = moles;

    /// <summary>Amount in mol.</summary>
    public double Moles { get; }

    /// <summary>Mass of this amount of nitrogen in g.</summary>
    public double GramsOfNitrogen => Moles * NitrogenGramsPerMole;

    /// <summary>Mass of this amount of nitrogen in kg.</summary>
    public double KilogramsOfNitrogen => GramsOfNitrogen / GramsPerKilogram;

    /// <summary>Takes an amount in mol, 0 to 1e9.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static AmountOfGas FromMoles(double moles) =>
        new(Require.Within(moles, 0, HighestMoles, nameof(moles), "Amount of gas", "mol", Remedy));

    /// <summary>Takes a mass of nitrogen in g, 0 to 1e9 mol.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static AmountOfGas FromGramsOfNitrogen(double grams) => new(Require.Within(
        grams, 0, HighestMoles * NitrogenGramsPerMole, nameof(grams), "Mass of nitrogen", "g", Remedy) / NitrogenGramsPerMole);

    /// <summary>Takes a mass of nitrogen in kg, 0 to 1e9 mol.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static AmountOfGas FromKilogramsOfNitrogen(double kilograms) => new(Require.Within(
        kilograms, 0, HighestMoles * NitrogenGramsPerMole / GramsPerKilogram, nameof(kilograms), "Mass of nitrogen", "kg", Remedy)
        * GramsPerKilogram / NitrogenGramsPerMole);

    /// <summary>The volume this amount takes as an ideal gas at a standard condition, as gas is metered and sold.</summary>
    /// <exception cref="ArgumentOutOfRangeException">The volume is above 1e6 m3.</exception>
    public GasVolume VolumeAt(StandardCondition condition)
    {
        ArgumentNullException.ThrowIfNull(condition);
        return GasVolume.FromCubicMetres(Moles * condition.MolarVolumeM3PerMol);
    }

    /// <summary>Moles, culture-invariant, for logs and messages.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Moles} mol");
}
