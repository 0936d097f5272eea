using System.Globalization;
using CsCheck;
using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.Gas.Tests.Nitrogen;

public class FastIsochoricCorrectionTests(ITestOutputHelper output)
{
    private const double TenPpm = 10e-6;

    /// <summary>The full equation is the second route: 1 K and 1 bar apart from 1 to 700 bar, and by decades down to 1 mPa.</summary>
    [Theory]
    [InlineData(NitrogenRange.LowestTemperatureK)]
    [InlineData(273.15)]
    [InlineData(293.15)]
    [InlineData(NitrogenRange.HighestTemperatureK)]
    public void Stays_within_10_ppm_of_the_full_equation(double referenceK)
    {
        FastIsochoricCorrection fast = new(referenceK);
        double[] thin = [.. Enumerable.Range(-30, 80).Select(tenth => Math.Pow(10, tenth / 10.0))];
        double[] pressures = [.. thin, .. Enumerable.Range(1, 700).Select(bar => bar * 1e5)];
        (double Ppm, double K, double Pa) worstPressure = default;
        (double Ppm, double K, double Pa) worstDensity = default;
        Lock meeting = new();
        Parallel.For(0, 142, step =>
        {
            double t = Math.Min(233.0 + step, NitrogenRange.HighestTemperatureK);
            foreach (double p in pressures)
            {
                CorrectedReading reading = fast.Correct(p, t);
                double rho = NitrogenEquation.MolarDensityMolPerM3(t, p);
                double densityPpm = 1e6 * Math.Abs((reading.MolarDensityMolPerM3 / rho) - 1);
                double pressurePpm = 1e6 * Math.Abs((reading.PressureAtReferencePa / NitrogenEquation.PressurePa(referenceK, rho)) - 1);
                lock (meeting)
                {
                    worstDensity = densityPpm > worstDensity.Ppm ? (densityPpm, t, p) : worstDensity;
                    worstPressure = pressurePpm > worstPressure.Ppm ? (pressurePpm, t, p) : worstPressure;
                }
            }
        });

        output.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"T_ref {referenceK} K: worst p_ref {worstPressure.Ppm:F2} ppm at {worstPressure.K} K, {worstPressure.Pa} Pa; "
            + $"worst density {worstDensity.Ppm:F2} ppm at {worstDensity.K} K, {worstDensity.Pa} Pa"));
        Assert.InRange(worstPressure.Ppm, 0, 1e6 * TenPpm);
        Assert.InRange(worstDensity.Ppm, 0, 1e6 * TenPpm);
    }

    [Fact]
    public void Any_reference_temperature_and_reading_stay_within_10_ppm() => Gen.Select(
        Gen.Double[233, NitrogenRange.HighestTemperatureK],
        Gen.Double[233, NitrogenRange.HighestTemperatureK],
        Gen.Double[-3, 7.845]).Sample(
        (referenceK, t, exponent) =>
        {
            double p = Math.Pow(10, exponent);
            double full = IsochoricCorrection.PressureAtReferencePa(p, t, referenceK);
            double fast = new FastIsochoricCorrection(referenceK).Correct(p, t).PressureAtReferencePa;
            return Math.Abs(fast - full) <= TenPpm * full;
        },
        iter: 500);

    [Fact]
    public void A_gas_at_the_reference_temperature_keeps_its_pressure() => Gen.Select(
        Gen.Double[233, NitrogenRange.HighestTemperatureK], Gen.Double[1e3, 70e6]).Sample(
        (referenceK, p) => Math.Abs(new FastIsochoricCorrection(referenceK).Correct(p, referenceK).PressureAtReferencePa - p) <= TenPpm * p,
        iter: 300);

    [Fact]
    public void Correction_and_its_reverse_cancel() => Gen.Select(
        Gen.Double[233, NitrogenRange.HighestTemperatureK], Gen.Double[233, NitrogenRange.HighestTemperatureK], Gen.Double[1e3, 35e6]).Sample(
        (t, referenceK, p) =>
        {
            double there = new FastIsochoricCorrection(referenceK).Correct(p, t).PressureAtReferencePa;
            double back = new FastIsochoricCorrection(t).Correct(Math.Min(there, NitrogenRange.HighestPressurePa), referenceK).PressureAtReferencePa;
            return there > NitrogenRange.HighestPressurePa || Math.Abs(back - p) <= 2 * TenPpm * p;
        },
        iter: 300);

    [Fact]
    public void Towards_vacuum_the_gas_is_ideal_and_nothing_stays_nothing()
    {
        FastIsochoricCorrection fast = new(293.15);
        Assert.Equal(new CorrectedReading(0, 0), fast.Correct(0, 233));
        Gen.Select(Gen.Double[233, 373], Gen.Double[1e-9, 1]).Sample((t, p) =>
        {
            CorrectedReading reading = fast.Correct(p, t);
            Assert.InRange(reading.PressureAtReferencePa / (p * 293.15 / t), 1 - 1e-7, 1 + 1e-7);
            Assert.InRange(reading.MolarDensityMolPerM3 / (p / (8.31451 * t)), 1 - 1e-7, 1 + 1e-7);
        });
    }

    [Fact]
    public void Density_and_pressure_at_reference_rise_with_pressure() =>
        Gen.Select(Gen.Double[233, 373], Gen.Double[0, 69.9e6]).Sample((t, p) =>
        {
            // A hundredth of a permille apart: the slope of the polynomial counts here, not its value.
            FastIsochoricCorrection fast = At20;
            CorrectedReading lower = fast.Correct(p, t);
            CorrectedReading higher = fast.Correct(p + (1e-5 * p) + 1, t);
            Assert.True(higher.MolarDensityMolPerM3 > lower.MolarDensityMolPerM3);
            Assert.True(higher.PressureAtReferencePa > lower.PressureAtReferencePa);
        });

    [Theory]
    [InlineData(0)]
    [InlineData(1)]
    [InlineData(7)]
    [InlineData(64)]
    [InlineData(1027)]
    public void A_batch_gives_each_reading_the_answer_it_has_alone(int count)
    {
        Random random = new(20_260_101);
        double[] pressures = [.. Enumerable.Range(0, count).Select(_ => random.NextDouble() * 70e6)];
        double[] temperatures = [.. Enumerable.Range(0, count).Select(_ => 233 + (random.NextDouble() * 140))];
        double[] atReference = new double[count];
        double[] densities = new double[count];
        Assert.Equal(0, At20.Correct(pressures, temperatures, atReference, densities));
        Assert.All(Enumerable.Range(0, count), i =>
            Assert.Equal(At20.Correct(pressures[i], temperatures[i]), new CorrectedReading(atReference[i], densities[i])));
    }

    [Fact]
    public void A_batch_goes_on_past_readings_outside_the_range()
    {
        double[] pressures = [1e7, double.NaN, -1, 1e7, 70e6, 1e7, 1e7, 71e6, double.PositiveInfinity, 0, 1e7];
        double[] temperatures = [293, 293, 293, 232.9, 373.15, double.NaN, 233, 293, 293, 293, 373.2];
        bool[] good = [true, false, false, false, true, false, true, false, false, true, false];
        double[] atReference = new double[pressures.Length];
        double[] densities = new double[pressures.Length];
        Assert.Equal(good.Count(g => !g), At20.Correct(pressures, temperatures, atReference, densities));
        Assert.All(Enumerable.Range(0, pressures.Length), i =>
        {
            Assert.Equal(good[i], double.IsFinite(atReference[i]) && double.IsFinite(densities[i]));
            Assert.Equal(!good[i], double.IsNaN(atReference[i]) && double.IsNaN(densities[i]));
            if (!good[i])
            {
                Assert.Throws<OutsideNitrogenRangeException>(() => At20.Correct(pressures[i], temperatures[i]));
            }
        });
    }

    [Fact]
    public void Correcting_allocates_nothing()
    {
        double[] pressures = [.. Enumerable.Repeat(9e6, 101)];
        double[] temperatures = [.. Enumerable.Repeat(300.0, 101)];
        double[] atReference = new double[101];
        double[] densities = new double[101];
        At20.Correct(pressures, temperatures, atReference, densities);
        At20.Correct(9e6, 300);
        long before = GC.GetAllocatedBytesForCurrentThread();
        At20.Correct(pressures, temperatures, atReference, densities);
        CorrectedReading one = At20.Correct(9e6, 300);
        Assert.Equal(0, GC.GetAllocatedBytesForCurrentThread() - before);
        Assert.Equal(one.PressureAtReferencePa, atReference[100]);
    }

    [Fact]
    public void Refuses_spans_of_different_length_and_impossible_references()
    {
        double[] two = [1e5, 1e5];
        double[] one = [293];
        var error = Assert.Throws<ArgumentException>(() => At20.Correct(two, one, new double[2], new double[2]));
        Assert.Contains("2 pressures, 1 temperatures", error.Message, StringComparison.Ordinal);
        Assert.Throws<OutsideNitrogenRangeException>(() => new FastIsochoricCorrection(double.NaN));
        Assert.Throws<OutsideNitrogenRangeException>(() => new FastIsochoricCorrection(374));
    }

    private static FastIsochoricCorrection At20 { get; } = new(293.15);
}
