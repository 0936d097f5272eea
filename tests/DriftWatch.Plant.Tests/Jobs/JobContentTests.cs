using DriftWatch.Gas.Nitrogen;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Tests.Jobs;

public class JobContentTests
{
    [Theory]
    [InlineData(JobCause.BelowLowerLimit, 85)]
    [InlineData(JobCause.BelowLowerLimit, 2)]
    [InlineData(JobCause.FallingFasterThanAllowed, 95)]
    [InlineData(JobCause.AboveUpperLimit, 112)]
    [InlineData(JobCause.NoWindowTooLong, 95)]
    public void A_job_can_be_worked_from(JobCause cause, double barGauge)
    {
        foreach (VesselType type in Enum.GetValues<VesselType>())
        {
            Job job = JobWriter.Write(Bench.Vessel(type: type), cause, Bench.Day(0, Verdict.BelowLowerLimit, barGauge));
            Assert.Equal(SafetyLines.Isolation, job.Isolation);
            Assert.Equal("T1", job.ChartId);
            Assert.NotEmpty(job.Parts);
            Assert.Contains(job.RecordAfter, line => line.Contains("Gas pressure and gas temperature", StringComparison.Ordinal));
            Assert.Equal(SafetyLines.All, job.Cautions);
            bool charges = cause is JobCause.BelowLowerLimit or JobCause.FallingFasterThanAllowed;
            Assert.Equal(charges, job.Filling is not null);
            Assert.Equal(charges, job.Parts.Any(part => part.StartsWith("Nitrogen bottle", StringComparison.Ordinal)));
        }
    }

    /// <summary>
    /// The second route to the bottles: what a full bottle holds, and what stays in it and in the vessel at the target, all at
    /// 20 degrees C, by the densities of the reference equation.
    /// </summary>
    [Theory]
    [InlineData(85, 1)]
    [InlineData(2, 2)]
    public void The_bottles_hold_what_the_vessel_lacks(double barGauge, int bottles)
    {
        FillingAdvice filling = JobWriter.Write(Bench.Vessel(), JobCause.BelowLowerLimit, Bench.Day(0, Verdict.BelowLowerLimit, barGauge)).Filling!;
        Assert.Equal(bottles, filling.Bottles);
        double full = 0.05 * NitrogenEquation.MolarDensityMolPerM3(288.15, 201e5);
        double lacking = 0.05 * (Density(101e5) - Density((barGauge + 1) * 1e5));
        double given = full - (0.05 * Density(101e5)); // What a bottle can give at most before it meets the target.
        Assert.True(bottles * given >= lacking - (0.05 * full), $"{bottles} bottles give {bottles * given:0.0} mol, {lacking:0.0} are lacking");
        Assert.True(bottles == 1 || (bottles - 1) * given < lacking);
    }

    [Fact]
    public void Filled_fast_it_ends_above_the_target_and_no_hotter_than_without_any_heat_exchange()
    {
        FillingAdvice filling = JobWriter.Write(Bench.Vessel(), JobCause.BelowLowerLimit, Bench.Day(0, Verdict.BelowLowerLimit, 85)).Filling!;
        Assert.Equal((20, 100), (filling.GasTemperatureCelsius, filling.SettledBarGauge));

        // Ideal bound: gas pushed in brings at most gamma (1.4) times the pressure that it settles at; 15 bar are filled in.
        Assert.InRange(filling.HighestAtEndBarGauge!.Value, 100.5, 100 + (0.6 * 15));
        Assert.Contains(filling.Words, line => line.Contains("settle", StringComparison.Ordinal));
    }

    [Fact]
    public void The_lost_usable_volume_agrees_with_the_densities()
    {
        Job job = JobWriter.Write(Bench.Vessel(), JobCause.BelowLowerLimit, Bench.Day(0, Verdict.BelowLowerLimit, 60));
        double Usable(double precharge) => (Density(precharge) / Density(111e5)) - (Density(precharge) / Density(201e5));
        Assert.Equal(1 - (Usable(61e5) / Usable(101e5)), job.LostUsableShare!.Value, 0.001);
        Assert.Equal(Priority.High, job.Priority);
    }

    [Theory]
    [InlineData(Consequence.Severe, TimeToAct.Hours, Priority.High)]
    [InlineData(Consequence.Severe, TimeToAct.Weeks, Priority.Medium)]
    [InlineData(Consequence.Moderate, TimeToAct.Hours, Priority.High)]
    [InlineData(Consequence.Moderate, TimeToAct.Days, Priority.Medium)]
    [InlineData(Consequence.Moderate, TimeToAct.Weeks, Priority.Low)]
    [InlineData(Consequence.Minor, TimeToAct.Hours, Priority.Medium)]
    [InlineData(Consequence.Minor, TimeToAct.Days, Priority.Low)]
    public void Priority_by_consequence_and_time(Consequence consequence, TimeToAct time, Priority priority) =>
        Assert.Equal(priority, PriorityGrid.Of(consequence, time));

    [Fact]
    public void More_consequence_or_less_time_never_lowers_a_priority()
    {
        foreach (Consequence consequence in Enum.GetValues<Consequence>())
        {
            foreach (TimeToAct time in Enum.GetValues<TimeToAct>())
            {
                Priority here = PriorityGrid.Of(consequence, time);
                Assert.All(Enum.GetValues<Consequence>().Where(more => more >= consequence), more => Assert.True(PriorityGrid.Of(more, time) >= here));
                Assert.All(Enum.GetValues<TimeToAct>().Where(less => less >= time), less => Assert.True(PriorityGrid.Of(consequence, less) >= here));
            }
        }
    }

    /// <summary>Stops on days 10, 30 and 80; the limit may be reached on day 60.</summary>
    [Theory]
    [InlineData(3, 10)]
    [InlineData(12, 30)]
    [InlineData(40, 60)]
    public void Due_at_the_first_planned_stop_that_leaves_the_lead_time_and_comes_in_time(double leadDays, double dueDay)
    {
        PlantCalendar calendar = new([Bench.Start.AddDays(10), Bench.Start.AddDays(30), Bench.Start.AddDays(80)], TimeSpan.FromDays(leadDays), TimeSpan.FromDays(7));
        Job job = JobWriter.Write(Bench.Vessel(calendar), JobCause.FallingFasterThanAllowed, Bench.Day(0, Verdict.FallingFasterThanAllowed, earliestDay: 60));
        Assert.Equal(Bench.Start.AddDays(dueDay), job.Due);
        Assert.Equal(Bench.Start.AddDays(60), job.LatestDue);
        Assert.Equal(dueDay < 60 ? job.Due : null, job.PlannedStop);
        Assert.Contains(dueDay < 60 ? "Planned stop of" : "a stop of its own", job.DueReason, StringComparison.Ordinal);
    }

    [Fact]
    public void A_lead_time_that_cannot_be_kept_is_told()
    {
        PlantCalendar calendar = new([], TimeSpan.FromDays(10), TimeSpan.FromDays(7));
        Job job = JobWriter.Write(Bench.Vessel(calendar), JobCause.BelowLowerLimit, Bench.Day(0, Verdict.BelowLowerLimit, 85));
        Assert.Equal(Bench.Start.AddDays(7), job.Due);
        Assert.Contains("lead time of 10 days cannot be kept", job.DueReason, StringComparison.Ordinal);
    }

    private static double Density(double pressurePa) => NitrogenEquation.MolarDensityMolPerM3(293.15, pressurePa);
}
