using System.Globalization;

namespace DriftWatch.Gas.Quantities;

/// <summary>
/// Pressure counted from vacuum. It does not mix with <see cref="GaugePressure"/>: going from one to the other asks for the
/// ambient pressure. Range 0 to 1e9 Pa, both ends included; <c>default</c> is vacuum.
/// </summary>
public readonly record struct AbsolutePressure
{
    private const double HighestPascals = 1e9;
    private const double PascalsPerBar = 1e5;
    private const string Remedy = "Check the unit and that the figure is absolute, not gauge.";

    private AbsolutePressure(double pascals) => Pascals = pascals;

    /// <summary>Absolute pressure in Pa.</summary>
    public double Pascals { get; }

    /// <summary>Absolute pressure in bar (1 bar = 100 000 Pa).</summary>
    public double Bar => Pascals / PascalsPerBar;

    /// <summary>Takes an absolute pressure in Pa, 0 to 1e9.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static AbsolutePressure FromPascals(double pascals) =>
        new(Require.Within(pascals, 0, HighestPascals, nameof(pascals), "Absolute pressure", "Pa", Remedy));

    /// <summary>Takes an absolute pressure in bar, 0 to 10 000.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static AbsolutePressure FromBar(double bar) =>
        new(Require.Within(bar, 0, HighestPascals / PascalsPerBar, nameof(bar), "Absolute pressure", "bar", Remedy) * PascalsPerBar);

    /// <summary>What a gauge at this ambient pressure shows.</summary>
    /// <param name="ambient">Ambient (barometric) pressure at the gauge.</param>
    /// <exception cref="ArgumentOutOfRangeException">The result is below -120 kPa: the ambient is no barometric pressure.</exception>
    public GaugePressure ToGauge(AbsolutePressure ambient) => GaugePressure.FromPascals(Pascals - ambient.Pascals);

    /// <summary>Bar with the word 'absolute', culture-invariant, for logs and messages.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Bar} bar absolute");
}
