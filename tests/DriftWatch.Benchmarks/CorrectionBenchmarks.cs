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

    private readonly double[] _pressures = new double[Readings];
    private readonly double[] _temperatures = new double[Readings];
    private readonly double[] _atReference = new double[Readings];
    private readonly double[] _densities = new double[Readings];
    private readonly FastIsochoricCorrection _fast = new(ReferenceK);

    /// <summary>Seeded readings from 1 to 350 bar and -20 to 60 degrees C.</summary>
    [GlobalSetup]
    public void Fill()
    {
        Random random = new(1);
        for (int i = 0; i < Readings; i++)
        {
            _pressures[i] = 1e5 + (random.NextDouble() * 349e5);
            _temperatures[i] = 253.15 + (random.NextDouble() * 80);
        }
    }

    /// <summary>p T_ref / T.</summary>
    [Benchmark(Baseline = true, OperationsPerInvoke = Readings)]
    public double IdealGas()
    {
        for (int i = 0; i < Readings; i++)
        {
            _atReference[i] = _pressures[i] * ReferenceK / _temperatures[i];
        }

        return _atReference[^1];
    }

    /// <summary>The polynomials, vectorised over the batch.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public int FastSpan() => _fast.Correct(_pressures, _temperatures, _atReference, _densities);

    /// <summary>The polynomials, reading by reading.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public double FastScalar()
    {
        for (int i = 0; i < Readings; i++)
        {
            CorrectedReading reading = _fast.Correct(_pressures[i], _temperatures[i]);
            _atReference[i] = reading.PressureAtReferencePa;
            _densities[i] = reading.MolarDensityMolPerM3;
        }

        return _atReference[^1];
    }

    /// <summary>Density solve and isotherm of the full equation.</summary>
    [Benchmark(OperationsPerInvoke = Readings)]
    public double FullEquation()
    {
        for (int i = 0; i < Readings; i++)
        {
            _densities[i] = NitrogenEquation.MolarDensityMolPerM3(_temperatures[i], _pressures[i]);
            _atReference[i] = NitrogenEquation.PressurePa(ReferenceK, _densities[i]);
        }

        return _atReference[^1];
    }
}
