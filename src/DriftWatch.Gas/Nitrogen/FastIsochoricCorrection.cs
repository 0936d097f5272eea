using System.Numerics;
using System.Runtime.CompilerServices;
using System.Runtime.InteropServices;

namespace DriftWatch.Gas.Nitrogen;

/// <summary>
/// The correction of <see cref="IsochoricCorrection"/> for one reference temperature, as polynomials taken from the full equation
/// when the object is made: within 10 ppm of it in pressure and density over the whole range, and ideal-gas exact towards
/// vacuum. The normal way for readings; a hundred times and more faster than the solve over spans. Immutable, safe on any thread; the members
/// allocate nothing, and one reading gives the same answer alone and in a batch.
/// </summary>
public sealed class FastIsochoricCorrection
{
    // Degrees and the compression of the pressure axis were chosen for 2 ppm of density and 5 ppm of pressure at the worst point;
    // one degree of temperature less costs a factor of six, two degrees of pressure less a factor of two.
    private const int PressureDegree = 16;
    private const int TemperatureDegree = 5;
    private const int IsothermDegree = 13;
    private const double PressureScalePa = 35e6;

    private const double GasConstant = NitrogenEquation.MolarGasConstantJPerMolK;
    private const double HighestCompressed = NitrogenRange.HighestPressurePa / (NitrogenRange.HighestPressurePa + PressureScalePa);
    private const double LowestInverseTemperature = 1 / NitrogenRange.HighestTemperatureK;
    private const double HighestInverseTemperature = 1 / NitrogenRange.LowestTemperatureK;

    // rho R T / p = 1 + x g(u, z): x = p / (p + scale), u runs -1 to 1 over x, z runs -1 to 1 over 1 / T. Rows of powers of z, one
    // for each power of u. With the factor x in front the ideal gas comes out exact at p = 0.
    private readonly double[] _density;

    // p / (rho R T_ref) = 1 + rho f(w): w runs -1 to 1 over the density range.
    private readonly double[] _isotherm;

    /// <summary>Takes polynomials from the full equation for one reference temperature (some hundred solves, about a millisecond).</summary>
    /// <param name="referenceTemperatureK">Reference temperature, 233 to 373.15 K, ends included; the trade states 293.15 K.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public FastIsochoricCorrection(double referenceTemperatureK)
    {
        ReferenceTemperatureK = NitrogenRange.Temperature(referenceTemperatureK, nameof(referenceTemperatureK));
        _density = DensityPolynomial();
        _isotherm = IsothermPolynomial(referenceTemperatureK);
    }

    /// <summary>Reference temperature, K.</summary>
    public double ReferenceTemperatureK { get; }

    /// <summary>Pressure at the reference temperature and density of one reading.</summary>
    /// <param name="pressurePa">Absolute pressure of the reading, 0 to 70e6 Pa, ends included.</param>
    /// <param name="temperatureK">Gas temperature of the reading, 233 to 373.15 K, ends included.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public CorrectedReading Correct(double pressurePa, double temperatureK)
    {
        NitrogenRange.Temperature(temperatureK, nameof(temperatureK));
        NitrogenRange.Pressure(pressurePa, nameof(pressurePa));
        Vector<double> molarDensity = Density(Pair.Of(pressurePa), Pair.Of(temperatureK)).First;
        return new CorrectedReading(PressureAtReference(molarDensity)[0], molarDensity[0]);
    }

    /// <summary>
    /// The same for many readings. A reading with NaN or outside the range does not stop the batch: both its results are NaN.
    /// </summary>
    /// <param name="pressuresPa">Absolute pressures, Pa; range as for one reading.</param>
    /// <param name="temperaturesK">Gas temperatures, K, one for each pressure; range as for one reading.</param>
    /// <param name="pressuresAtReferencePa">Receives the pressures at the reference temperature, Pa.</param>
    /// <param name="molarDensitiesMolPerM3">Receives the molar densities, mol/m3.</param>
    /// <returns>How many readings were outside the range; ask <see cref="Correct(double, double)"/> of one for the reason.</returns>
    /// <exception cref="ArgumentException">The spans differ in length.</exception>
    public int Correct(
        ReadOnlySpan<double> pressuresPa,
        ReadOnlySpan<double> temperaturesK,
        Span<double> pressuresAtReferencePa,
        Span<double> molarDensitiesMolPerM3)
    {
        int count = pressuresPa.Length;
        if (temperaturesK.Length != count || pressuresAtReferencePa.Length != count || molarDensitiesMolPerM3.Length != count)
        {
            throw new ArgumentException(
                $"Lengths differ: {count} pressures, {temperaturesK.Length} temperatures, room for {pressuresAtReferencePa.Length} "
                + $"pressures at reference and {molarDensitiesMolPerM3.Length} densities. Give four spans of one length.",
                nameof(pressuresPa));
        }

        // Two passes: the chains of the isotherm polynomial are long and independent, and the processor overlaps several of them
        // only when they stand next to each other. NaN goes from density to pressure by itself.
        int width = Vector<double>.Count;
        int refused = 0;
        int i = 0;
        for (; i <= count - (2 * width); i += 2 * width)
        {
            refused += DensityOrNaN(
                new Pair(new(pressuresPa[i..]), new(pressuresPa[(i + width)..])),
                new Pair(new(temperaturesK[i..]), new(temperaturesK[(i + width)..])),
                out Pair found);
            found.First.CopyTo(molarDensitiesMolPerM3[i..]);
            found.Second.CopyTo(molarDensitiesMolPerM3[(i + width)..]);
        }

        for (; i < count; i++)
        {
            refused += DensityOrNaN(Pair.Of(pressuresPa[i]), Pair.Of(temperaturesK[i]), out Pair found) / (2 * width);
            molarDensitiesMolPerM3[i] = found.First[0];
        }

        for (i = 0; i <= count - width; i += width)
        {
            PressureAtReference(new Vector<double>(molarDensitiesMolPerM3[i..])).CopyTo(pressuresAtReferencePa[i..]);
        }

        for (; i < count; i++)
        {
            pressuresAtReferencePa[i] = PressureAtReference(new Vector<double>(molarDensitiesMolPerM3[i]))[0];
        }

        return refused;
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private int DensityOrNaN(Pair pressurePa, Pair temperatureK, out Pair molarDensity)
    {
        Vector<long> first = Inside(pressurePa.First, temperatureK.First);
        Vector<long> second = Inside(pressurePa.Second, temperatureK.Second);
        molarDensity = Density(pressurePa, temperatureK);
        if ((first & second) == Vector<long>.AllBitsSet)
        {
            return 0;
        }

        Vector<double> nothing = new(double.NaN);
        molarDensity = new Pair(
            Vector.ConditionalSelect(first, molarDensity.First, nothing), Vector.ConditionalSelect(second, molarDensity.Second, nothing));

        // A lane inside counts -1.
        return (2 * Vector<double>.Count) + (int)(Vector.Sum(first) + Vector.Sum(second));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<long> Inside(Vector<double> pressurePa, Vector<double> temperatureK) =>
        Vector.GreaterThanOrEqual(pressurePa, Vector<double>.Zero)
        & Vector.LessThanOrEqual(pressurePa, new Vector<double>(NitrogenRange.HighestPressurePa))
        & Vector.GreaterThanOrEqual(temperatureK, new Vector<double>(NitrogenRange.LowestTemperatureK))
        & Vector.LessThanOrEqual(temperatureK, new Vector<double>(NitrogenRange.HighestTemperatureK));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Pair Density(Pair pressurePa, Pair temperatureK)
    {
        const double inverseSpan = 2 / (HighestInverseTemperature - LowestInverseTemperature);
        Pair inverse = new(Vector<double>.One / temperatureK.First, Vector<double>.One / temperatureK.Second);
        Pair z = inverse.MultiplyAdd(Pair.Of(inverseSpan), Pair.Of(-1 - (LowestInverseTemperature * inverseSpan)));
        Vector<double> scale = new(PressureScalePa);
        Pair x = new(pressurePa.First / (pressurePa.First + scale), pressurePa.Second / (pressurePa.Second + scale));
        Pair u = x.MultiplyAdd(Pair.Of(2 / HighestCompressed), Pair.Of(-1));
        Pair uSquared = u.Times(u);

        // Even and odd powers of u in two chains, which the processor works through side by side.
        ref double row = ref MemoryMarshal.GetArrayDataReference(_density);
        Pair even = Row(ref Unsafe.Add(ref row, PressureDegree * (TemperatureDegree + 1)), z);
        Pair odd = Pair.Of(0);
        for (int j = PressureDegree - 1; j > 0; j -= 2)
        {
            odd = odd.MultiplyAdd(uSquared, Row(ref Unsafe.Add(ref row, j * (TemperatureDegree + 1)), z));
            even = even.MultiplyAdd(uSquared, Row(ref Unsafe.Add(ref row, (j - 1) * (TemperatureDegree + 1)), z));
        }

        Pair ideal = pressurePa.Times(inverse).Times(Pair.Of(1 / GasConstant));
        return ideal.Times(x).MultiplyAdd(odd.MultiplyAdd(u, even), ideal);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Pair Row(ref double row, Pair z) => Pair.Of(Unsafe.Add(ref row, TemperatureDegree))
        .MultiplyAdd(z, Pair.Of(Unsafe.Add(ref row, 4)))
        .MultiplyAdd(z, Pair.Of(Unsafe.Add(ref row, 3)))
        .MultiplyAdd(z, Pair.Of(Unsafe.Add(ref row, 2)))
        .MultiplyAdd(z, Pair.Of(Unsafe.Add(ref row, 1)))
        .MultiplyAdd(z, Pair.Of(row));

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Vector<double> PressureAtReference(Vector<double> molarDensity)
    {
        Vector<double> w = Vector.MultiplyAddEstimate(
            molarDensity, new Vector<double>(2 / NitrogenRange.HighestMolarDensityMolPerM3), new Vector<double>(-1));
        ref double coefficient = ref MemoryMarshal.GetArrayDataReference(_isotherm);
        Vector<double> sum = new(Unsafe.Add(ref coefficient, IsothermDegree));
        for (int j = IsothermDegree - 1; j >= 0; j--)
        {
            sum = Vector.MultiplyAddEstimate(sum, w, new Vector<double>(Unsafe.Add(ref coefficient, j)));
        }

        Vector<double> ideal = molarDensity * new Vector<double>(GasConstant * ReferenceTemperatureK);
        return Vector.MultiplyAddEstimate(ideal * molarDensity, sum, ideal);
    }

    private static double[] DensityPolynomial()
    {
        // First along pressure at each node of 1 / T, then each power of u along 1 / T.
        double[][] alongPressure = new double[TemperatureDegree + 1][];
        Span<double> values = stackalloc double[PressureDegree + 1];
        for (int k = 0; k <= TemperatureDegree; k++)
        {
            double inverse = LowestInverseTemperature
                + ((Chebyshev.Node(k, TemperatureDegree) + 1) / 2 * (HighestInverseTemperature - LowestInverseTemperature));
            for (int l = 0; l <= PressureDegree; l++)
            {
                double x = (Chebyshev.Node(l, PressureDegree) + 1) / 2 * HighestCompressed;
                double pressurePa = PressureScalePa * x / (1 - x);
                double real = NitrogenEquation.MolarDensityMolPerM3(1 / inverse, pressurePa);
                values[l] = ((real * GasConstant / (inverse * pressurePa)) - 1) / x;
            }

            alongPressure[k] = Chebyshev.ToPowers(values);
        }

        double[] rows = new double[(PressureDegree + 1) * (TemperatureDegree + 1)];
        Span<double> atNodes = stackalloc double[TemperatureDegree + 1];
        for (int j = 0; j <= PressureDegree; j++)
        {
            for (int k = 0; k <= TemperatureDegree; k++)
            {
                atNodes[k] = alongPressure[k][j];
            }

            Chebyshev.ToPowers(atNodes).CopyTo(rows, j * (TemperatureDegree + 1));
        }

        return rows;
    }

    private static double[] IsothermPolynomial(double referenceTemperatureK)
    {
        Span<double> values = stackalloc double[IsothermDegree + 1];
        for (int k = 0; k <= IsothermDegree; k++)
        {
            double rho = (Chebyshev.Node(k, IsothermDegree) + 1) / 2 * NitrogenRange.HighestMolarDensityMolPerM3;
            double real = NitrogenEquation.PressurePa(referenceTemperatureK, rho);
            values[k] = ((real / (rho * GasConstant * referenceTemperatureK)) - 1) / rho;
        }

        return Chebyshev.ToPowers(values);
    }

    /// <summary>
    /// Two vectors worked through together: each coefficient is loaded once for both, and while one chain waits for its last product
    /// the other goes on.
    /// </summary>
    private readonly struct Pair(Vector<double> first, Vector<double> second)
    {
        public readonly Vector<double> First = first;
        public readonly Vector<double> Second = second;

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public static Pair Of(double value)
        {
            Vector<double> both = new(value);
            return new Pair(both, both);
        }

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Pair Times(Pair factor) => new(First * factor.First, Second * factor.Second);

        [MethodImpl(MethodImplOptions.AggressiveInlining)]
        public Pair MultiplyAdd(Pair factor, Pair addend) => new(
            Vector.MultiplyAddEstimate(First, factor.First, addend.First), Vector.MultiplyAddEstimate(Second, factor.Second, addend.Second));
    }
}
