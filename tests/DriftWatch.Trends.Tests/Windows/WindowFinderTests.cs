using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Trends.Tests.Windows;

public class WindowFinderTests
{
    private readonly VesselSpecification _vessel = Make.Vessel();

    [Fact]
    public void A_night_between_two_shifts_is_one_run_of_the_gas_side_alone()
    {
        RestRun run = Assert.Single(Rest.Runs(_vessel, [.. Rest.Work(0, 8), .. Night(8.2, 9.6), .. Rest.Work(18, 2)]));
        Assert.Equal(WindowEvidence.RestingPlateau, run.Evidence);
        Assert.Equal(Make.Start.AddHours(8.2), run.Blocks[0].First);
        Assert.Equal(58, run.Blocks.Sum(block => block.Count));
    }

    [Fact]
    public void A_plateau_at_working_pressure_is_no_rest() =>
        Assert.Empty(Rest.Runs(_vessel, Rest.Samples(0, 10, _ => 130)));

    /// <summary>Idling at 140 bar is no rest, though the working pressures are not on record: common practice has none below 1.1 nominals.</summary>
    [Theory]
    [InlineData(140, 0)]
    [InlineData(107, 1)]
    public void Without_working_pressures_on_record_a_gas_far_above_the_limits_is_at_work(double bar, int rests)
    {
        VesselSpecification unknown = _vessel with { LowestWorkingPressure = null, HighestWorkingPressure = null };
        Assert.Equal(rests, Rest.Runs(unknown, Rest.Samples(0, 10, _ => bar)).Count);

        // At 60 degrees C the gauge shows more of a gas that is within the limits at 20.
        Assert.Equal(rests, Rest.Runs(unknown, Rest.Samples(0, 10, _ => bar, _ => 60)).Count);
    }

    /// <summary>Each signal on a topic of its own: the machine presses the gas to 150 bar before the fluid side says so.</summary>
    [Theory]
    [InlineData(1)]
    [InlineData(5)]
    public void A_gas_that_steps_up_waits_for_the_word_of_the_fluid_side(int samples)
    {
        GasSideSample[] night = [.. Told(Rest.Samples(0, 8, _ => 100, released: true, stepMinutes: 1))];
        DateTimeOffset told = night[^1].Instant;
        GasSideSample[] start = [.. Rest.Samples(8.1, 0.1, _ => 150, released: true, stepMinutes: 1).Take(samples).Select(sample => sample with { ReleaseToldAt = told })];
        RestRun run = Assert.Single(Rest.Runs(_vessel, [.. night, .. start, .. Rest.Work(8.3, 2, released: false)]));
        Assert.Equal(night.Length, run.Blocks.Sum(block => block.Count));
        Assert.Equal(told, run.Blocks[^1].Last);

        static IEnumerable<GasSideSample> Told(IEnumerable<GasSideSample> samples) =>
            samples.Select(sample => sample with { ReleaseToldAt = sample.Instant.AddSeconds(-20) });
    }

    [Fact]
    public void A_step_up_stays_where_the_fluid_side_says_that_it_was_still_released()
    {
        GasSideSample[] night = [.. Rest.Samples(0, 8, hour => hour < 4 ? 100 : 102, released: true).Select(sample => sample with { ReleaseToldAt = sample.Instant.AddMinutes(-12) })];
        RestRun run = Assert.Single(Rest.Runs(_vessel, [.. night, night[^1] with { Instant = night[^1].Instant.AddMinutes(5), ReleaseToldAt = night[^1].Instant }]));
        Assert.Equal(night.Length + 1, run.Blocks.Sum(block => block.Count));
    }

    /// <summary>A contact that is told on change alone is not asked about a gas that stands.</summary>
    [Fact]
    public void A_gas_that_stands_does_not_wait()
    {
        GasSideSample[] night = [.. Rest.Samples(0, 8, _ => 100, released: true, contact: true).Select(sample => sample with { ReleaseToldAt = Make.Start })];
        RestRun run = Assert.Single(Rest.Runs(_vessel, [.. night, .. Rest.Work(8.2, 1, released: false)]));
        Assert.Equal(night.Length, run.Blocks.Sum(block => block.Count));
    }

    /// <summary>A contact told once, gas every five minutes or fifteen: what comes up from the cold at once stays a rest, without a gap.</summary>
    [Theory]
    [InlineData(5, 1)]
    [InlineData(15, 8)]
    public void A_first_step_of_a_gas_that_warms_costs_no_rest(double stepMinutes, double hours)
    {
        GasSideSample[] rest = [.. Rest.Samples(0, hours, hour => hour == 0 ? 98 : 100, released: true, contact: true, stepMinutes: stepMinutes).Select(sample => sample with { ReleaseToldAt = Make.Start })];
        RestRun run = Assert.Single(Rest.Runs(_vessel, [.. rest, .. Rest.Work(hours + 0.1, 1, released: false)]));
        Assert.InRange(run.Blocks.Sum(block => block.Count), rest.Length - 1, rest.Length);
    }

    [Fact]
    public void A_rest_longer_than_a_day_is_cut_by_the_day_and_keeps_its_number()
    {
        List<RestRun> runs = Rest.Runs(_vessel, Night(0, 60));
        Assert.Equal(3, runs.Count);
        Assert.Single(runs.Select(run => run.Rest).Distinct());
        Assert.All(runs, run => Assert.InRange(run.Blocks[^1].Last - run.Blocks[0].First, TimeSpan.Zero, TimeSpan.FromHours(24)));
        Assert.Equal(361, runs.Sum(run => run.Blocks.Sum(block => block.Count)));
    }

    [Fact]
    public void A_run_keeps_at_most_64_blocks_and_loses_no_sample()
    {
        RestRun run = Assert.Single(Rest.Runs(_vessel, Rest.Samples(0, 20, _ => 100, stepMinutes: 1)));
        Assert.InRange(run.Blocks.Count, 32, 64);
        Assert.InRange(run.Blocks.Sum(block => block.Count), 1200, 1201);
        Assert.Equal(100e5, run.Blocks.Sum(block => block.PrechargeSumPa) / run.Blocks.Sum(block => block.Count), 100.0);
    }

    [Theory]
    [InlineData(2.9, 1)]
    [InlineData(3.2, 2)]
    public void Samples_more_than_three_hours_apart_belong_to_two_rests(double gapHours, int rests) =>
        Assert.Equal(rests, Rest.Runs(_vessel, [.. Night(0, 2), .. Night(2 + gapHours, 2)]).Select(run => run.Rest).Distinct().Count());

    [Fact]
    public void A_recorded_charge_cuts_the_rest_even_without_a_step()
    {
        List<RestRun> runs = Rest.Runs(_vessel, Night(0, 6), Make.Start.AddHours(3.05));
        Assert.Equal(2, runs.Select(run => run.Rest).Distinct().Count());
        Assert.Equal(Make.Start.AddHours(3) + TimeSpan.FromMinutes(10), runs[1].Blocks[0].First, TimeSpan.FromSeconds(1));
    }

    /// <summary>A step of 1 % between two samples of a resting gas: somebody let gas in or fluid out.</summary>
    [Fact]
    public void A_step_parts_two_rests() =>
        Assert.Equal(2, Rest.Runs(_vessel, Rest.Samples(0, 6, hour => hour < 3.05 ? 100 : 101)).Count);

    [Fact]
    public void A_temperature_that_swings_does_not_part_a_rest() =>
        Assert.Single(Rest.Runs(_vessel, Rest.Samples(0, 12, _ => 100, hour => 20 + (8 * Math.Sin(hour / 2)))));

    [Fact]
    public void With_a_fluid_side_signal_only_the_released_time_counts_whatever_the_gas_pressure_does()
    {
        RestRun run = Assert.Single(Rest.Runs(_vessel,
        [
            .. Rest.Samples(0, 3, _ => 100, released: false),
            .. Rest.Samples(3.2, 1, hour => 100 + (2 * hour), released: true),
            .. Rest.Samples(4.4, 3, _ => 100, released: false),
        ]));
        Assert.Equal(WindowEvidence.FluidPressure, run.Evidence);
        Assert.Equal(7, run.Blocks.Sum(block => block.Count));
    }

    [Fact]
    public void The_contact_is_evidence_of_its_own()
    {
        RestRun run = Assert.Single(Rest.Runs(_vessel, Rest.Samples(0, 1, _ => 100, released: true, contact: true)));
        Assert.Equal(WindowEvidence.Contact, run.Evidence);
    }

    private static IEnumerable<GasSideSample> Night(double fromHour, double hours) => Rest.Samples(fromHour, hours, _ => 100);
}
