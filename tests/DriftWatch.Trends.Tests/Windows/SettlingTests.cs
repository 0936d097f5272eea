using DriftWatch.Gas.Nitrogen;
using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Windows;

/// <summary>Rests after a release: the gas comes to its temperature by one exponential, the sensor follows it by another.</summary>
public class SettlingTests
{
    private readonly VesselSpecification _vessel = Make.Vessel(new PressureSensor(PressureKind.Gauge, 0, 400e5, 0.5e5));
    private readonly WindowJudge _judge;

    public SettlingTests() => _judge = new WindowJudge(_vessel);

    /// <summary>
    /// The exact answer of a first-order sensor to a gas that jumps 20 K down and comes back with time constant T: the sensor
    /// stands off by 20 (T exp(-t/T) - L exp(-t/L)) / (T - L). Noise as of a common transducer: 0.05 bar and 0.05 K.
    /// </summary>
    private static IEnumerable<GasSideSample> Release(
        double atHour, double minutes, double settlingS, double lagS, double stepMinutes = 2, int seed = 1, double noise = 1)
    {
        var dice = new NormalDice(seed);
        for (double minute = 1; minute <= minutes; minute += stepMinutes)
        {
            double t = minute * 60;
            double gasK = 295 - (20 * Math.Exp(-t / settlingS));
            double sensorK = 295 - (20 * ((settlingS * Math.Exp(-t / settlingS)) - (lagS * Math.Exp(-t / lagS))) / (settlingS - lagS));
            double pressurePa = IsochoricCorrection.PressureAtReferencePa(100e5, 293.15, gasK);
            yield return new GasSideSample(
                Make.Start.AddHours(atHour).AddSeconds(t), pressurePa + (5000 * noise * dice.Next()), sensorK + (0.05 * noise * dice.Next()), true, false);
        }
    }

    private RestRun Run(IEnumerable<GasSideSample> samples) => Assert.Single(Rest.Runs(_vessel, samples));

    private ThermalMemory Taught(double settlingS, double lagS, double minutes = 90)
    {
        ThermalMemory memory = ThermalMemory.Start;
        for (int day = 0; day < 15; day++)
        {
            memory = _judge.Learn(Run(Release(24 * day, minutes, settlingS, lagS, seed: day)), memory, null);
        }

        return memory;
    }

    [Theory]
    [InlineData(600, 60, 90)]
    [InlineData(1000, 120, 90)]
    [InlineData(1800, 300, 150)]
    public void Time_constant_and_lag_are_found_from_rests(double settlingS, double lagS, double minutes)
    {
        ThermalMemory memory = Taught(settlingS, lagS, minutes);
        ThermalTime settling = memory.Settling!.Value;
        ThermalTime lag = memory.Lag!.Value;
        Assert.Equal(settlingS, settling.Seconds, 3 * settling.UncertaintySeconds);
        Assert.Equal(lagS, lag.Seconds, 3 * lag.UncertaintySeconds);
        Assert.InRange(lag.UncertaintySeconds, 0, 0.4 * lagS);
    }

    [Fact]
    public void Rests_without_a_release_and_short_ones_teach_nothing()
    {
        ThermalMemory memory = _judge.Learn(
            Run(Rest.Samples(0, 10, _ => 100, hour => 15 + (4 * Math.Sin(hour / 4)), released: true)), ThermalMemory.Start, null);
        Assert.Empty(memory.SettlingS);
        Assert.Empty(_judge.Learn(Run(Release(0, 12, 1000, 120)), ThermalMemory.Start, null).SettlingS);
    }

    /// <summary>Fluid in half of all rests: plateaus that were rejected teach nothing, and a few odd ones do not move a median.</summary>
    [Fact]
    public void Odd_rests_do_not_move_what_is_known()
    {
        ThermalMemory memory = Taught(1000, 120);
        double before = memory.Settling!.Value.Seconds;
        for (int i = 0; i < 4; i++)
        {
            memory = memory.With(6000, 600);
        }

        Assert.Equal(before, memory.Settling!.Value.Seconds, 0.1 * before);
        Assert.Equal(15, memory.SettlingS.Count);
    }

    /// <summary>
    /// Half an hour of a gas that settles in 17 minutes, again and again: with what the rests before have taught, the miss stays
    /// inside the stated uncertainty (no sensor offset is planted), and without it the same rests are refused or miss by more.
    /// </summary>
    [Fact]
    public void A_short_rest_is_brought_to_its_end_with_an_honest_uncertainty()
    {
        ThermalMemory memory = Taught(1000, 120);
        List<double> scores = [];
        int refused = 0;
        for (int seed = 100; seed < 160; seed++)
        {
            RestRun run = Run(Release(0, 30, 1000, 120, seed: seed));
            PrechargeWindow window = _judge.Judge(run, memory)!;
            Assert.Equal(WindowStanding.Accepted, window.Standing);
            scores.Add((window.PrechargePa - 100e5) / window.RandomUncertaintyPa);
            PrechargeWindow untaught = _judge.Judge(run)!;
            refused += untaught.Standing == WindowStanding.Rejected || untaught.PrechargePa - 100e5 > 0.1e5 ? 1 : 0;
        }

        Assert.InRange(Math.Sqrt(scores.Average(score => score * score)), 0, 1.2);
        Assert.All(scores, score => Assert.InRange(score, -3.5, 3.5));
        Assert.True(refused > 30, $"{refused} of 60 refused or far off without the memory");
    }

    [Fact]
    public void Less_than_a_time_constant_is_not_brought_to_an_end() => Assert.Equal(
        WindowStanding.Rejected,
        _judge.Judge(Run(Release(0, 14, 1800, 300, noise: 0.2)), new ThermalMemory([1800, 1800, 1800], []))!.Standing);

    /// <summary>Warming by 6 K an hour, five minutes of lag: 0.5 K too cold, some 0.19 bar too much; known, it is taken out.</summary>
    [Fact]
    public void The_lag_is_taken_out_and_its_uncertainty_counts()
    {
        IEnumerable<GasSideSample> warming = Rest.Samples(0, 4, _ => 100, hour => 10 + (6 * hour))
            .Select(sample => sample with { TemperatureK = sample.TemperatureK - 0.5 });
        RestRun run = Assert.Single(Rest.Runs(_vessel, warming));
        PrechargeWindow blind = _judge.Judge(run)!;
        PrechargeWindow knowing = _judge.Judge(run, new ThermalMemory([], [300, 300, 300, 300, 300]))!;
        Assert.InRange(blind.PrechargePa - 100e5, 0.15e5, 0.25e5);
        Assert.Equal(100e5, knowing.PrechargePa, 0.02e5);
        Assert.Equal(blind.PrechargePa - knowing.PrechargePa, -knowing.LagCorrectionPa, 0.02e5);

        // 15 % of 300 s at 6 K/h, by the slope of the isochore. The shares are rounded to a thousandth, here some 5 %.
        double density = NitrogenEquation.MolarDensityMolPerM3(293.15, 100e5);
        double perKelvin = NitrogenEquation.PressurePa(293.65, density) - NitrogenEquation.PressurePa(292.65, density);
        double ofLag = knowing.Shares.Greatest.Single(share => share.Name == "Temperature sensor lag").ShareOfVariance;
        double variance = Math.Pow(knowing.RandomUncertaintyPa, 2) + Math.Pow(knowing.SharedUncertaintyPa, 2);
        double expected = 0.15 * 300 * 6 / 3600 * perKelvin;
        Assert.Equal(expected, Math.Sqrt(ofLag * variance), 0.1 * expected);
        Assert.True(blind.RandomUncertaintyPa > knowing.RandomUncertaintyPa);
    }
}
