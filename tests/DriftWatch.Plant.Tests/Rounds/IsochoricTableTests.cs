using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Tests.Rounds;

/// <summary>The table that a browser corrects by, against the full equation.</summary>
public sealed class IsochoricTableTests(ITestOutputHelper output)
{
    [Theory]
    [InlineData(8)]
    [InlineData(100)]
    [InlineData(250)]
    public void It_keeps_to_its_tolerance_all_over_the_grid(double nominalBar)
    {
        VesselSpecification vessel = Vessel(nominalBar);
        IsochoricTable table = IsochoricTable.For(vessel, HandInstruments.Common);
        int seed = Environment.TickCount;
        var dice = new Random(seed);
        double worst = 0;
        double worstUncertainty = 0;
        for (int n = 0; n < 3000; n++)
        {
            double kelvins = 243.15 + (100 * dice.NextDouble());
            GaugePressure read = GaugePressure.FromBar(1.5 * 1.1 * nominalBar * dice.NextDouble());
            double absolute = read.ToAbsolute(vessel.Ambient).Pascals;
            double full = ChargingTarget.PrechargeAtReference(read, GasTemperature.FromKelvins(kelvins), vessel.ReferenceTemperature, vessel.Ambient).Pascals;
            worst = Math.Max(worst, Math.Abs((table.PrechargePa(absolute, kelvins)!.Value / full) - 1));
            double expanded = 2 * HandInstruments.Common.Budget(vessel, read, GasTemperature.FromKelvins(kelvins)).CombinedStandardUncertainty;
            worstUncertainty = Math.Max(worstUncertainty, Math.Abs((table.ExpandedAtPa(absolute, kelvins)!.Value / expanded) - 1));
        }

        output.WriteLine($"{nominalBar} bar: worst {worst:e2}, uncertainty {worstUncertainty:e2}, seed {seed}");
        Assert.True(worst < IsochoricTable.Tolerance, $"seed {seed}: off by {worst:e2}");
        Assert.True(worstUncertainty < 0.02, $"seed {seed}: uncertainty off by {worstUncertainty:e2}");
    }

    [Fact]
    public void Off_the_grid_it_says_nothing()
    {
        IsochoricTable table = IsochoricTable.For(Vessel(100), HandInstruments.Common);
        Assert.Null(table.PrechargePa(100e5, 242));
        Assert.Null(table.PrechargePa(100e5, 344));
        Assert.Null(table.PrechargePa(400e5, 293));
        Assert.Null(table.PrechargePa(double.NaN, 293));
    }

    [Theory]
    [InlineData(80, CheckMeaning.BelowLowerLimit)]
    [InlineData(90.5, CheckMeaning.AtLowerLimit)]
    [InlineData(100, CheckMeaning.WithinLimits)]
    [InlineData(109.5, CheckMeaning.AtUpperLimit)]
    [InlineData(120, CheckMeaning.AboveUpperLimit)]
    public void A_check_says_what_it_means_no_surer_than_it_is(double bar, CheckMeaning expected)
    {
        CheckFinding finding = CheckFinding.Of(Vessel(100), GaugePressure.FromBar(bar), GasTemperature.FromDegreesCelsius(20), HandInstruments.Common);
        Assert.Equal(expected, finding.Meaning);
        Assert.Equal(bar, finding.Precharge.Bar, 1e-6);

        // By hand, k = 2: gauge 1.6 bar, half a division 0.4 bar, thermometer 1 K, shell 2 K at (p + 1)/293 bar a kelvin, limits
        // over the square root of 3, and weather of 0.009 bar, which does not count here; the real gas gives some 5 % more a kelvin than p/T.
        double perKelvin = (bar + 1.01325) / 293.15;
        double byHand = 2 * Math.Sqrt((1.6 * 1.6) + (0.4 * 0.4) + (5 * perKelvin * perKelvin)) / Math.Sqrt(3);
        Assert.InRange(finding.ExpandedPa / 1e5 / byHand, 0.97, 1.08);
    }

    /// <summary>
    /// Where weather counts, at 2 bar: a gauge to 3.2 bar (limit 0.032, half a division 0.008 bar), thermometer and shell as above, and 9 hPa of
    /// weather as standard uncertainty, the same that the windows of a transducer have.
    /// </summary>
    [Fact]
    public void Weather_counts_by_hand_as_it_does_for_a_transducer()
    {
        CheckFinding finding = CheckFinding.Of(Vessel(2), GaugePressure.FromBar(2), GasTemperature.FromDegreesCelsius(20), HandInstruments.Common);
        double perKelvin = 3.01325 / 293.15;
        double byHand = 2 * Math.Sqrt((((0.032 * 0.032) + (0.008 * 0.008) + (5 * perKelvin * perKelvin)) / 3) + (0.009 * 0.009));
        Assert.InRange(finding.ExpandedPa / 1e5 / byHand, 0.98, 1.02);
    }

    private static VesselSpecification Vessel(double nominalBar) => Bench.Vessel().Specification with
    {
        NominalPrecharge = GaugePressure.FromBar(nominalBar),
        LowerLimit = GaugePressure.FromBar(0.9 * nominalBar),
        UpperLimit = GaugePressure.FromBar(1.1 * nominalBar),
        Ambient = AbsolutePressure.FromBar(1.01325),
    };
}
