namespace DriftWatch.SamplePlant.Tests;

public class PlantedFaultTests
{
    [Fact]
    public void A_burst_bladder_shows_system_pressure_at_work_and_none_at_rest()
    {
        VesselScript script = Find("SH1-A2");
        Sample[] after = [.. VesselRun.Samples(script, Plant.Seed).Where(sample => sample.Reading.Time >= script.BurstAt)];
        Assert.All(after.Where(sample => sample.Truth.Fluid == FluidState.Released), sample => Assert.InRange(sample.Reading.GasPressureBar, 0, 0.5));
        Assert.All(
            after.Where(sample => sample.Truth.Fluid == FluidState.Working),
            sample => Assert.InRange(sample.Reading.GasPressureBar, script.P1BarGauge - 1, script.P2BarGauge + 1));
        Assert.Contains(after, sample => sample.Truth.Fluid == FluidState.Working);
    }

    [Fact]
    public void A_stuck_temperature_never_moves_while_the_pressure_does()
    {
        VesselScript script = Find("YD1-A2");
        Sample[] after = [.. VesselRun.Samples(script, Plant.Seed).Where(sample => sample.Reading.Time >= script.TemperatureStuckFrom)];
        Assert.Single(after.Select(sample => sample.Reading.GasTemperatureC).Distinct());
        double[] resting = [.. after
            .Where(sample => sample.Truth.Fluid == FluidState.Released && sample.Truth.MinutesInState > 240)
            .Select(sample => sample.Reading.GasPressureBar)];
        Assert.True(resting.Max() - resting.Min() > 5);
    }

    [Fact]
    public void A_gap_holds_no_reading_and_both_sides_do()
    {
        VesselScript script = Find("EM1-A1");
        DateTimeOffset[] times = [.. VesselRun.Samples(script, Plant.Seed).Select(sample => sample.Reading.Time)];
        Assert.DoesNotContain(times, time => time >= script.Gap!.From && time < script.Gap.To);
        Assert.Contains(times, time => time < script.Gap!.From && time > script.Gap.From.AddHours(-1));
        Assert.Contains(times, time => time >= script.Gap!.To && time < script.Gap.To.AddHours(1));
    }

    [Fact]
    public void Trapped_fluid_keeps_the_gas_above_its_precharge_at_many_levels_on_ten_to_twenty_percent_of_the_nights()
    {
        VesselScript script = Find("PR1-A2");
        IReadOnlyList<Stretch> stretches = VesselRun.Timetable(script, Plant.Seed);
        double trapped = stretches.Count(stretch => stretch.State == FluidState.Trapped);
        double released = stretches.Count(stretch => stretch.State == FluidState.Released);
        Assert.InRange(trapped / (trapped + released), 0.1, 0.2);

        Sample[] samples = [.. VesselRun.Samples(script, Plant.Seed)];
        double[] early = [.. samples
            .Where(sample => sample.Truth is { Fluid: FluidState.Trapped, MinutesInState: >= 120 and < 130 })
            .Select(sample => sample.Reading.GasPressureBar)];
        double highestRest = samples
            .Where(sample => sample.Truth is { Fluid: FluidState.Released, MinutesInState: >= 120 })
            .Max(sample => sample.Reading.GasPressureBar);
        Assert.True(early.Count(bar => bar > highestRest) > early.Length / 2);
        Assert.Contains(early, bar => bar > highestRest && bar < script.P1BarGauge);
        Assert.Contains(early, bar => bar > script.P1BarGauge);
    }

    [Fact]
    public void A_release_cools_the_gas_and_the_walls_warm_it_up_again()
    {
        VesselScript script = Find("PR1-A1");
        Sample[] rest = [.. VesselRun.Samples(script, Plant.Seed).Where(sample => sample.Truth.Fluid == FluidState.Released)];
        double coldK = rest.Where(sample => sample.Truth.MinutesInState < 10).Average(sample => sample.Truth.GasTemperatureK);
        double warmK = rest.Where(sample => sample.Truth.MinutesInState is >= 120 and < 130).Average(sample => sample.Truth.GasTemperatureK);
        Assert.InRange(warmK - coldK, 10, 50);
    }

    [Fact]
    public void Fluid_and_gas_pressure_agree_at_work_and_the_fluid_side_is_empty_when_released()
    {
        VesselScript script = Find("PR3-A1");
        foreach ((LoggedReading reading, TrueState truth) in VesselRun.Samples(script, Plant.Seed))
        {
            double fluid = reading.FluidPressureBarGauge!.Value;
            if (truth.Fluid == FluidState.Released)
            {
                Assert.InRange(fluid, 0, 2);
            }
            else
            {
                Assert.InRange(fluid - reading.GasPressureBar, -3, 3);
            }

            Assert.False(truth.Fluid == FluidState.Released && reading.Time >= script.NeverReleasedFrom!.Value.AddHours(8));
        }
    }

    [Fact]
    public void Out_of_doors_the_year_spans_about_minus_15_to_38_degrees()
    {
        VesselScript script = Find("YD1-A1");
        double[] airC = script.Climate.HourlyC(script.Start, 580 * 24, new Dice(Plant.Seed, script.Id, "air"));
        Assert.InRange(airC.Min(), -19, -9);
        Assert.InRange(airC.Max(), 33, 42);
    }

    [Fact]
    public void A_timetable_has_neither_hole_nor_overlap()
    {
        foreach (VesselScript script in Plant.Vessels)
        {
            int cursor = 0;
            foreach (Stretch stretch in VesselRun.Timetable(script, Plant.Seed))
            {
                Assert.Equal(cursor, stretch.StartMinute);
                Assert.True(stretch.EndMinute > stretch.StartMinute);
                cursor = stretch.EndMinute;
            }

            Assert.Equal((int)(script.End - script.Start).TotalMinutes, cursor);
        }
    }

    [Fact]
    public void Dice_are_fair_and_differ_by_purpose()
    {
        var dice = new Dice(1, "A", "one");
        double[] uniform = [.. Enumerable.Range(0, 100_000).Select(_ => dice.Uniform())];
        double[] normal = [.. Enumerable.Range(0, 100_000).Select(_ => dice.Normal())];

        // Five standard errors of the mean and of the variance.
        Assert.InRange(uniform.Average(), 0.5 - 0.0046, 0.5 + 0.0046);
        Assert.InRange(normal.Average(), -0.0158, 0.0158);
        Assert.InRange(normal.Average(x => x * x), 1 - 0.0224, 1 + 0.0224);
        Assert.NotEqual(new Dice(1, "A", "one").Uniform(), new Dice(1, "A", "two").Uniform());
    }

    private static VesselScript Find(string id)
    {
        return Plant.Vessels.Single(script => script.Id == id);
    }
}
