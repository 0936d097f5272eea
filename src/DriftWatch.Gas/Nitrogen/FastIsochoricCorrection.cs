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
    private readonly double[] density;

    // p / (rho R T_ref) = 1 + rho f(w): w runs -1 to 1 over the density range.
    private readonly double[] isotherm;

    /// <summary>Takes polynomials from the full equation for one reference temperature (some hundred solves, about a millisecond).</summary>
    /// <param name="referenceTemperatureK">Reference temperature, 233 to 373.15 K, ends included; the trade states 293.15 K.</param>
    /// <exception cref="OutsideNitrogenRangeException">NaN or outside the range.</exception>
    public FastIsochoricCorrection(double referenceTemperatureK)
    {
        ReferenceTemperatureK = NitrogenRange.Temperature(referenceTemperatureK, nameof(referenceTemperatureK));
        density = DensityPolynomial();
        isotherm = IsothermPolynomial(referenceTemperatureK);
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
        Vector<double> molarDensity = Density(new Vector<double>(pressurePa), new Vector<double>(temperatureK));
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
        for (; i <= count - width; i += width)
        {
            refused += DensityOrNaN(new Vector<double>(pressuresPa[i..]), new Vector<double>(temperaturesK[i..]), out Vector<double> found);
            found.CopyTo(molarDensitiesMolPerM3[i..]);
        }

        for (; i < count; i++)
        {
            refused += DensityOrNaN(new Vector<double>(pressuresPa[i]), new Vector<double>(temperaturesK[i]), out Vector<double> found) / width;
            molarDensitiesMolPerM3[i] = found[0];
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
    private int DensityOrNaN(Vector<double> pressurePa, Vector<double> temperatureK, out Vector<double> molarDensity)
    {
        Vector<long> inside =
            Vector.GreaterThanOrEqual(pressurePa, Vector<double>.Zero)
            & Vector.LessThanOrEqual(pressurePa, new Vector<double>(NitrogenRange.HighestPressurePa))
            & Vector.GreaterThanOrEqual(temperatureK, new Vector<double>(NitrogenRange.LowestTemperatureK))
            & Vector.LessThanOrEqual(temperatureK, new Vector<double>(NitrogenRange.HighestTemperatureK));
        molarDensity = Vector.ConditionalSelect(inside, Density(pressurePa, temperatureK), new Vector<double>(double.NaN));

        // A lane inside counts -1.
        return inside == Vector<long>.AllBitsSet ? 0 : Vector<double>.Count + (int)Vector.Sum(inside);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Vector<double> Density(Vector<double> pressurePa, Vector<double> temperatureK)
    {
        const double inverseSpan = 2 / (HighestInverseTemperature - LowestInverseTemperature);
        Vector<double> inverse = Vector<double>.One / temperatureK;
        Vector<double> z = Vector.MultiplyAddEstimate(
            inverse, new Vector<double>(inverseSpan), new Vector<double>(-1 - (LowestInverseTemperature * inverseSpan)));
        Vector<double> x = pressurePa / (pressurePa + new Vector<double>(PressureScalePa));
        Vector<double> u = Vector.MultiplyAddEstimate(x, new Vector<double>(2 / HighestCompressed), new Vector<double>(-1));
        Vector<double> uSquared = u * u;

        // Even and odd powers of u in two chains, which the processor works through side by side.
        ref double row = ref MemoryMarshal.GetArrayDataReference(density);
        Vector<double> even = Row(ref Unsafe.Add(ref row, PressureDegree * (TemperatureDegree + 1)), z);
        Vector<double> odd = Vector<double>.Zero;
        for (int j = PressureDegree - 1; j > 0; j -= 2)
        {
            odd = Vector.MultiplyAddEstimate(odd, uSquared, Row(ref Unsafe.Add(ref row, j * (TemperatureDegree + 1)), z));
            even = Vector.MultiplyAddEstimate(even, uSquared, Row(ref Unsafe.Add(ref row, (j - 1) * (TemperatureDegree + 1)), z));
        }

        Vector<double> ideal = pressurePa * inverse * new Vector<double>(1 / GasConstant);
        return Vector.MultiplyAddEstimate(ideal * x, Vector.MultiplyAddEstimate(odd, u, even), ideal);
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private static Vector<double> Row(ref double row, Vector<double> z)
    {
        Vector<double> sum = new(Unsafe.Add(ref row, TemperatureDegree));
        sum = Vector.MultiplyAddEstimate(sum, z, new Vector<double>(Unsafe.Add(ref row, 4)));
        sum = Vector.MultiplyAddEstimate(sum, z, new Vector<double>(Unsafe.Add(ref row, 3)));
        sum = Vector.MultiplyAddEstimate(sum, z, new Vector<double>(Unsafe.Add(ref row, 2)));
        sum = Vector.MultiplyAddEstimate(sum, z, new Vector<double>(Unsafe.Add(ref row, 1)));
        return Vector.MultiplyAddEstimate(sum, z, new Vector<double>(row));
    }

    [MethodImpl(MethodImplOptions.AggressiveInlining)]
    private Vector<double> PressureAtReference(Vector<double> molarDensity)
    {
        Vector<double> w = Vector.MultiplyAddEstimate(
            molarDensity, new Vector<double>(2 / NitrogenRange.HighestMolarDensityMolPerM3), new Vector<double>(-1));
        ref double coefficient = ref MemoryMarshal.GetArrayDataReference(isotherm);
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
}
