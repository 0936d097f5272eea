using BenchmarkDotNet.Attributes;
using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.Benchmarks;

/// <summary>
/// Time of one reading, corrected to 20 degrees C, in one run: the ideal-gas one-liner as the base, the fast path over a span and reading
/// by reading, and the solve of the full equation. Each gives the corrected pressure; all but the one-liner give the density too.
/// </summary>
[MemoryDiagnoser]
public class CorrectionBenchmarks
{
    // Pressures, temperatures and results of one batch stay in the first-level cache of the processor or near it.
    private const int Readings = 1024;
    private const double ReferenceK = 293.15;

    private readonly double[] pressures = new double[Readings];
    private readonly double[] temperatures = new double[Readings];
    private readonly double[] atReference = new double[Readings];
    private readonly double[] densities = new double[Readings];
    private readonly FastIsochoricCorrection fast = new(ReferenceK);

    /// <summary>Seeded readings from 1 to 350 bar and -20 to 60 degrees C.</summary>
    [GlobalSetup]
    public void Fill()
    {
        Random random = new(1);
        for (int i = 0; i < Readings; i++)
        {
            pressures[i] = 1e5 + (random.NextDouble() * 349e5);
            temperatures[i] = 253.15 + (random.NextDouble() * 80);
        }
    }

    /// <summary>p T_ref / T.</summary>
    [Benchmark(Baseline = true, OperationsPerInvoke = Readings)]
    public double IdealGas()
    {
        for (int i = 0; i < Readings; i++)
        {
            atReference[i] = pressures[i] * ReferenceK / temperatures[i];
        }

        return atReference[^1];
    }

    /// <summary>The polynomials, vectorised over the batch.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public int FastSpan() => fast.Correct(pressures, temperatures, atReference, densities);

    /// <summary>The polynomials, reading by reading.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public double FastScalar()
    {
        for (int i = 0; i < Readings; i++)
        {
            CorrectedReading reading = fast.Correct(pressures[i], temperatures[i]);
            atReference[i] = reading.PressureAtReferencePa;
            densities[i] = reading.MolarDensityMolPerM3;
        }

        return atReference[^1];
    }

    /// <summary>Density solve and isotherm of the full equation.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public double FullEquation()
    {
        for (int i = 0; i < Readings; i++)
        {
            densities[i] = NitrogenEquation.MolarDensityMolPerM3(temperatures[i], pressures[i]);
            atReference[i] = NitrogenEquation.PressurePa(ReferenceK, densities[i]);
        }

        return atReference[^1];
    }
}
