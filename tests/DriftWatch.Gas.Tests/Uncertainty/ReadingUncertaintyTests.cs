using System.Globalization;
using CsCheck;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Uncertainty;

namespace DriftWatch.Gas.Tests.Uncertainty;

public class ReadingUncertaintyTests(ITestOutputHelper output)
{
    private static readonly GasTemperature Twenty = GasTemperature.FromDegreesCelsius(20);
    private static readonly AbsolutePressure Ambient = AbsolutePressure.FromBar(1);

    private static readonly ReadingUncertaintyModel Everything = new()
    {
        PressureOffsetPa = InputUncertainty.FromLimits(30_000),
        PressureGainFraction = InputUncertainty.FromExpanded(0.002, 2),
        PressureNoisePa = InputUncertainty.FromStandard(5_000),
        PressureResolutionPa = InputUncertainty.FromResolution(10_000),
        TemperatureOffsetK = InputUncertainty.FromLimits(0.5),
        TemperatureNoiseK = InputUncertainty.FromStandard(0.05),
        TemperatureResolutionK = InputUncertainty.FromResolution(0.1),
        TemperaturePlacementK = InputUncertainty.FromTriangularLimits(1),
        TemperaturePlacementChangeK = InputUncertainty.FromStandard(0.15),
        TemperatureLagS = InputUncertainty.FromLimits(600),
        BarometricPressurePa = InputUncertainty.FromLimits(1_000),
        WeatherPa = InputUncertainty.FromStandard(900),
    };

    [Fact]
    public void Sensitivities_agree_with_differences_of_the_correction() =>
        Gen.Select(Gen.Double[234, 372], Gen.Double[234, 372], Gen.Double[1e5, 60e6]).Sample((t, reference, p) =>
        {
            IsochoricSensitivity at = IsochoricSensitivity.At(p, t, reference);
            double h = 1e-4 * p;
            double k = 0.02;
            Near(Slope(x => IsochoricCorrection.PressureAtReferencePa(x, t, reference), p, h), at.AtReferenceByPressurePaPerPa);
            Near(Slope(x => IsochoricCorrection.PressureAtReferencePa(p, x, reference), t, k), at.AtReferenceByTemperaturePaPerK);
            Near(Slope(x => NitrogenEquation.MolarDensityMolPerM3(t, x), p, h), at.DensityByPressureMolPerM3PerPa);
            Near(Slope(x => NitrogenEquation.MolarDensityMolPerM3(x, p), t, k), at.DensityByTemperatureMolPerM3PerK);
        });

    /// <summary>
    /// Propagation of distributions (JCGM 101:2008, 7) through the real gas itself, 50 000 seeded draws: mean and standard uncertainty
    /// must be those of the budget, and its 95 % interval must hold 95 % of the draws or, where one line with hard limits leads and
    /// the result has shorter tails than the normal, somewhat more.
    /// </summary>
    [Theory]
    [InlineData(90, 35, 0.001)]
    [InlineData(250, -20, -0.002)]
    [InlineData(5, 60, 0)]
    public void Monte_Carlo_agrees_with_the_budget(double gaugeBar, double celsius, double rateKPerS)
    {
        GaugePressure reading = GaugePressure.FromBar(gaugeBar);
        GasTemperature gas = GasTemperature.FromDegreesCelsius(celsius);
        UncertaintyBudget budget = ReadingUncertainty.OfPressureAtReference(reading, Ambient, gas, rateKPerS, Twenty, Everything);

        const int draws = 50_000;
        Random random = new(20_101);
        double[] results = new double[draws];
        ReadingUncertaintyModel m = Everything;
        for (int i = 0; i < draws; i++)
        {
            double indicated = reading.Pascals;
            double pressure = indicated + Ambient.Pascals + Draw(m.PressureOffsetPa) + (indicated * Draw(m.PressureGainFraction))
                + Draw(m.PressureNoisePa) + Draw(m.PressureResolutionPa) + Draw(m.BarometricPressurePa) + Draw(m.WeatherPa);
            double temperature = gas.Kelvins + Draw(m.TemperatureOffsetK) + Draw(m.TemperatureNoiseK) + Draw(m.TemperatureResolutionK)
                + Draw(m.TemperaturePlacementK) + Draw(m.TemperaturePlacementChangeK) + (rateKPerS * Draw(m.TemperatureLagS));
            results[i] = IsochoricCorrection.PressureAtReferencePa(pressure, temperature, Twenty.Kelvins) * (1 + Draw(m.EquationOfStateFraction));
        }

        double mean = results.Average();
        double deviation = Math.Sqrt(results.Sum(r => (r - mean) * (r - mean)) / (draws - 1));
        double halfWidth = budget.Expanded(0.95).HalfWidth;
        double inside = results.Count(r => Math.Abs(r - budget.Estimate) <= halfWidth) / (double)draws;
        output.WriteLine(string.Create(
            CultureInfo.InvariantCulture,
            $"{gaugeBar} bar, {celsius} degrees C: u = {budget.CombinedStandardUncertainty:F0} Pa by the budget, {deviation:F0} Pa by draws; "
            + $"95 % interval +- {halfWidth:F0} Pa holds {inside:P2}"));

        // Statistical error of the deviation of 50 000 draws is 0.32 %; of the mean u / 224.
        Assert.InRange(deviation / budget.CombinedStandardUncertainty, 0.99, 1.01);
        Assert.InRange(inside, 0.945, 0.985);
        Assert.InRange(Math.Abs(mean - budget.Estimate), 0, 0.02 * deviation);

        double Draw(InputUncertainty input)
        {
            double u = input.StandardUncertainty;
            return input.Distribution switch
            {
                ProbabilityDistribution.Normal => u * Math.Sqrt(-2 * Math.Log(1 - random.NextDouble())) * Math.Cos(2 * Math.PI * random.NextDouble()),
                ProbabilityDistribution.Rectangular => u * Math.Sqrt(3) * ((2 * random.NextDouble()) - 1),
                ProbabilityDistribution.Triangular => u * Math.Sqrt(6) * (random.NextDouble() - random.NextDouble()),
                _ => throw new NotSupportedException(),
            };
        }
    }

    [Fact]
    public void At_the_reference_temperature_a_pressure_error_goes_through_as_it_is()
    {
        ReadingUncertaintyModel offset = new() { PressureOffsetPa = InputUncertainty.FromStandard(10_000), EquationOfStateFraction = default };
        UncertaintyBudget budget = ReadingUncertainty.OfPressureAtReference(GaugePressure.FromBar(90), Ambient, Twenty, 0, Twenty, offset);
        Assert.Equal(9.1e6, budget.Estimate, 1e-3);
        Assert.Equal(10_000, budget.SharedStandardUncertainty, 1e-6);
        Assert.Equal(0, budget.RandomStandardUncertainty);
        Assert.Equal("Pressure sensor offset", Assert.Single(budget.Contributors).Name);
    }

    [Fact]
    public void A_thin_gas_answers_to_temperature_as_p_over_T()
    {
        ReadingUncertaintyModel placement = new() { TemperaturePlacementK = InputUncertainty.FromStandard(1), EquationOfStateFraction = default };
        UncertaintyBudget budget = ReadingUncertainty.OfPressureAtReference(
            AbsolutePressure.FromPascals(1_000), Twenty, 0, Twenty, placement);
        Assert.Equal(1_000 / 293.15, budget.CombinedStandardUncertainty, 1e-4);
    }

    [Fact]
    public void Lag_counts_by_the_rate_of_the_temperature()
    {
        ReadingUncertaintyModel lag = new() { TemperatureLagS = InputUncertainty.FromStandard(300) };
        ReadingUncertaintyModel same = new() { TemperatureNoiseK = InputUncertainty.FromStandard(0.3) };
        AbsolutePressure p = AbsolutePressure.FromBar(100);
        double byLag = ReadingUncertainty.OfPressureAtReference(p, Twenty, -0.001, Twenty, lag).RandomStandardUncertainty;
        Assert.Equal(ReadingUncertainty.OfPressureAtReference(p, Twenty, 0, Twenty, same).RandomStandardUncertainty, byLag, 1e-6);
        Assert.Equal(0, ReadingUncertainty.OfPressureAtReference(p, Twenty, 0, Twenty, lag).RandomStandardUncertainty);
        Assert.Throws<ArgumentException>(() => ReadingUncertainty.OfPressureAtReference(p, Twenty, double.NaN, Twenty, lag));
    }

    [Fact]
    public void Only_a_gauge_transducer_has_the_barometer_in_its_budget()
    {
        IEnumerable<string> gauge = ReadingUncertainty.OfMolarDensity(GaugePressure.FromBar(90), Ambient, Twenty, 0, Everything).Contributors.Select(c => c.Name);
        IEnumerable<string> absolute = ReadingUncertainty.OfMolarDensity(AbsolutePressure.FromBar(91), Twenty, 0, Everything).Contributors.Select(c => c.Name);
        Assert.Equal(["Barometric pressure", "Weather"], gauge.Except(absolute));
        Assert.Empty(absolute.Except(gauge));
    }

    [Fact]
    public void Density_and_pressure_at_reference_tell_the_same_relative_uncertainty_of_a_thin_gas()
    {
        AbsolutePressure thin = AbsolutePressure.FromPascals(2_000);
        GasTemperature gas = GasTemperature.FromDegreesCelsius(50);
        ReadingUncertaintyModel model = new() { PressureNoisePa = InputUncertainty.FromStandard(10), TemperatureOffsetK = InputUncertainty.FromStandard(1) };
        UncertaintyBudget pressure = ReadingUncertainty.OfPressureAtReference(thin, gas, 0, Twenty, model);
        UncertaintyBudget density = ReadingUncertainty.OfMolarDensity(thin, gas, 0, model);
        Assert.Equal(pressure.CombinedStandardUncertainty / pressure.Estimate, density.CombinedStandardUncertainty / density.Estimate, 1e-7);
        Assert.Equal("mol/m3", density.Unit);
    }

    private static double Slope(Func<double, double> f, double x, double h) => (f(x + h) - f(x - h)) / (2 * h);

    private static void Near(double expected, double actual) =>
        Assert.InRange(Math.Abs(actual - expected), 0, 2e-6 * Math.Abs(expected));
}
