using System.Globalization;

namespace DriftWatch.Gas.Quantities;

/// <summary>
/// Pressure counted from the ambient pressure, as pressure gauges and most transducers show it. Range -120 000 to 1e9 Pa, both
/// ends included: no barometric pressure on earth lets a gauge show less. <c>default</c> is ambient pressure.
/// </summary>
public readonly record struct GaugePressure
{
    private const double LowestPascals = -1.2e5;
    private const double HighestPascals = 1e9;
    private const double PascalsPerBar = 1e5;
    private const string Remedy = "Check the unit and that the figure is gauge, not absolute.";

    private GaugePressure(double pascals) => Pascals = pascals;

    /// <summary>Gauge pressure in Pa.</summary>
    public double Pascals { get; }

    /// <summary>Gauge pressure in bar (1 bar = 100 000 Pa).</summary>
    public double Bar => Pascals / PascalsPerBar;

    /// <summary>Takes a gauge pressure in Pa, -120 000 to 1e9.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static GaugePressure FromPascals(double pascals) =>
        new(Require.Within(pascals, LowestPascals, HighestPascals, nameof(pascals), "Gauge pressure", "Pa", Remedy));

    /// <summary>Takes a gauge pressure in bar, -1.2 to 10 000.</summary>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static GaugePressure FromBar(double bar) => new(PascalsPerBar * Require.Within(
        bar, LowestPascals / PascalsPerBar, HighestPascals / PascalsPerBar, nameof(bar), "Gauge pressure", "bar", Remedy));

    /// <summary>The absolute pressure behind this gauge reading.</summary>
    /// <param name="ambient">Ambient (barometric) pressure at the gauge; see <see cref="StandardAtmosphere"/>.</param>
    /// <exception cref="ArgumentOutOfRangeException">The sum is below vacuum: gauge reading and ambient contradict each other.</exception>
    public AbsolutePressure ToAbsolute(AbsolutePressure ambient) => AbsolutePressure.FromPascals(Pascals + ambient.Pascals);

    /// <summary>Bar with the word 'gauge', culture-invariant, for logs and messages.</summary>
    public override string ToString() => string.Create(CultureInfo.InvariantCulture, $"{Bar} bar gauge");
}
