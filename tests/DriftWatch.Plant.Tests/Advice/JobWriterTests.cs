using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;
using DriftWatch.Plant.Tests.Jobs;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Tests.Advice;

public class JobWriterTests
{
    /// <summary>
    /// Each row holds the same molar density as the nominal precharge: the equation of state, inverted here by bisection over
    /// the pressure, is the second route.
    /// </summary>
    [Fact]
    public void The_charging_table_keeps_the_nominal_amount_of_gas()
    {
        IReadOnlyList<ChargingTargetRow> rows = JobWriter.ChargingTable(Example.Vessel().Specification);
        Assert.Equal([.. Enumerable.Range(-6, 23).Select(step => 5.0 * step)], rows.Select(row => row.GasTemperatureCelsius));
        double density = Density(101e5, 293.15);
        foreach (ChargingTargetRow row in rows)
        {
            double kelvins = row.GasTemperatureCelsius + 273.15;
            Assert.Equal(NitrogenEquation.PressurePa(kelvins, density), (row.TargetBarGauge + 1) * 1e5, 0.00501e5); // In kPa and psi the whole number is true.
        }

        Assert.Equal(100, rows.Single(row => row.GasTemperatureCelsius == 20).TargetBarGauge);
    }

    /// <summary>
    /// Against the reference equation's own figures, computed outside this project (Span et al., J. Phys. Chem. Ref. Data 29
    /// (2000) 1361): 90 bar absolute at -30 degrees C are 114.89658112 bar at 20 degrees C; the table's rows lie on such lines.
    /// </summary>
    [Fact]
    public void A_published_isochore_lies_on_the_same_relation() =>
        Assert.Equal(Density(114.89658112e5, 293.15), Density(90e5, 243.15), 1e-3);

    [Fact]
    public void The_nitrogen_needed_is_what_the_real_gas_lacks()
    {
        Job job = Write(JobCause.BelowLowerLimit, 85);
        double moles = (Density(101e5, 293.15) - Density(86e5, 293.15)) * 0.05;
        Assert.Equal(moles * 28.0134e-3, job.NitrogenKg!.Value, 0.0005); // Three digits are told.

        // An ideal gas at 0 degrees C and 101.325 kPa takes R T / p a mole.
        Assert.Equal(moles * 8.314462618 * 273.15 / 101325 * 1000, job.NitrogenStandardLitres!.Value, 0.5);
    }

    [Theory]
    [InlineData(JobCause.AboveUpperLimit, 112)]
    [InlineData(JobCause.NoWindowTooLong, 95)]
    [InlineData(JobCause.FallingFasterThanAllowed, 101)]
    public void No_nitrogen_is_asked_for_where_none_is_lacking_or_nothing_is_known(JobCause cause, double barGauge) =>
        Assert.Null(Write(cause, barGauge).NitrogenKg);

    [Theory]
    [InlineData(JobCause.BelowLowerLimit, 85)]
    [InlineData(JobCause.BelowLowerLimit, 2)]
    [InlineData(JobCause.FallingFasterThanAllowed, 95)]
    [InlineData(JobCause.AboveUpperLimit, 112)]
    [InlineData(JobCause.NoWindowTooLong, 95)]
    public void Every_job_carries_the_cautions_and_releases_the_fluid_side_first(JobCause cause, double barGauge)
    {
        foreach (VesselType type in Enum.GetValues<VesselType>())
        {
            Job job = Write(cause, barGauge, type);
            Assert.Equal(SafetyLines.All, job.Cautions);
            Assert.Contains("Isolate", job.Steps[0], StringComparison.Ordinal);
            Assert.Contains("release its fluid side", job.Steps[0], StringComparison.Ordinal);
            Assert.Equal((-30, 80), (job.ChargingTargets[0].GasTemperatureCelsius, job.ChargingTargets[^1].GasTemperatureCelsius));
            Assert.NotEmpty(job.Evidence);
            Assert.True(job.Due > job.Raised);
            Assert.NotEmpty(job.DueReason);
        }

        string cautions = string.Join(' ', SafetyLines.All);
        Assert.All(
            ["nitrogen only", "never with oxygen, air", "Isolate the fluid side", "No welding, soldering or machining", "regulator", "slowly", "maker's instructions", "licensed persons", "does not certify"],
            words => Assert.Contains(words, cautions, StringComparison.Ordinal));
    }

    [Fact]
    public void Nearly_no_gas_left_puts_the_separator_before_the_charge()
    {
        Job job = Write(JobCause.BelowLowerLimit, 2);
        int doubt = job.Steps.ToList().FindIndex(step => step.Contains("Do not charge yet", StringComparison.Ordinal));
        int charge = job.Steps.ToList().FindIndex(step => step.StartsWith("Charge nitrogen", StringComparison.Ordinal));
        Assert.InRange(doubt, 1, charge - 1);
        Assert.Equal(job.Raised.AddDays(2), job.Due);
        Assert.DoesNotContain(Write(JobCause.BelowLowerLimit, 85).Steps, step => step.Contains("Do not charge yet", StringComparison.Ordinal));
    }

    /// <summary>Technicians may not change the register: charges and checks go on the pages or by the command.</summary>
    [Theory]
    [InlineData(JobCause.BelowLowerLimit, 85, "charge")]
    [InlineData(JobCause.BelowLowerLimit, 2, "charge")]
    [InlineData(JobCause.FallingFasterThanAllowed, 95, "charge")]
    [InlineData(JobCause.AboveUpperLimit, 112, "charge")]
    [InlineData(JobCause.NoWindowTooLong, 95, "check")]
    [InlineData(JobCause.TransducerDrift, 95, "check")]
    public void Work_is_recorded_on_the_pages_or_by_the_command(JobCause cause, double barGauge, string command)
    {
        Job job = JobWriter.Write(Bench.Vessel(), cause, Bench.Day(0, Verdict.BelowLowerLimit, barGauge));
        string page = command == "charge" ? "the vessel's page Charging" : "the page Round";
        Assert.Contains(job.Steps, step => step.Contains($"on {page} or by 'driftwatch records {command}'", StringComparison.Ordinal));
        Assert.Contains(job.RecordAfter, line => line.Contains($"on {page} or by 'driftwatch records {command}'", StringComparison.Ordinal));
        Assert.DoesNotContain(job.Steps.Concat(job.RecordAfter), line => line.Contains("vessel register", StringComparison.Ordinal));
    }

    [Theory]
    [InlineData(Verdict.BelowLowerLimit, 0.0)]
    [InlineData(Verdict.AboveUpperLimit, null)]
    [InlineData(Verdict.FallingFasterThanAllowed, 53.0)]
    [InlineData(Verdict.WithinLimits, 53.0)]
    public void A_recharge_is_due_now_below_the_limit_never_above_it_and_else_by_the_forecast(Verdict verdict, double? day)
    {
        Assessment now = Bench.Day(0, verdict) with
        {
            Forecast = new CrossingForecast(null, Bench.Start.AddDays(60), null) { RecommendedRecharge = Bench.Start.AddDays(53) },
        };
        Assert.Equal(day is { } expected ? Bench.Start.AddDays(expected) : null, RechargeAdvice.By(now));
    }

    /// <summary>psi: 6894.757 Pa (NIST SP 811, appendix B).</summary>
    [Fact]
    public void The_words_of_a_filling_are_made_from_its_figures_in_any_unit()
    {
        FillingAdvice filling = Write(JobCause.BelowLowerLimit, 85).Filling!;
        Assert.Equal(filling.Words, FillingWords.Of(filling, PressureUnit.Bar));
        string psi = string.Join(' ', FillingWords.Of(filling, PressureUnit.Psi));
        Assert.DoesNotContain("bar", psi, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"never above {filling.HighestAtEndBarGauge!.Value * 1e5 / 6894.757:0} psi"), psi, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"settles at {100e5 / 6894.757:0} psi"), psi, StringComparison.Ordinal);
        Assert.Contains(FormattableString.Invariant($"litres at {200e5 / 6894.757:0} psi"), psi, StringComparison.Ordinal);

        string cold = FillingWords.Of(filling with { HighestAtEndBarGauge = null }, PressureUnit.Bar)[0];
        Assert.Contains("the bottles run too cold", cold, StringComparison.Ordinal);
        Assert.Contains("never more than a little above the target", cold, StringComparison.Ordinal);
    }

    /// <summary>From 85 bar filled fast it shows some 4 bar more than the 100 it settles at: a vessel that works up to 102 bar is not sent there.</summary>
    [Fact]
    public void A_filling_that_would_pass_the_highest_working_pressure_goes_in_steps()
    {
        Vessel vessel = Example.Vessel();
        vessel = vessel with { Specification = vessel.Specification with { HighestWorkingPressure = GaugePressure.FromBar(102) } };
        FillingAdvice filling = JobWriter.Write(vessel, JobCause.BelowLowerLimit, Example.At(0, Verdict.BelowLowerLimit, 85)).Filling!;
        Assert.True(Write(JobCause.BelowLowerLimit, 85).Filling!.HighestAtEndBarGauge > 102);
        Assert.Null(filling.HighestAtEndBarGauge);
        Assert.Contains("never more than a little above the target of 100.0 bar", filling.Words[0], StringComparison.Ordinal);
        Assert.Contains("would pass the highest working pressure", filling.Words[0], StringComparison.Ordinal);
    }

    /// <summary>A hundredth of a bar of uncertainty is no certainty: to the digits shown it is said to be one tenth.</summary>
    [Fact]
    public void A_small_uncertainty_is_never_told_as_none() => Assert.Contains(
        JobWriter.Write(Example.Vessel(), JobCause.BelowLowerLimit, Example.At(0, Verdict.BelowLowerLimit, 85) with { PrechargeUncertaintyPa = 500 }).Evidence,
        line => line.Contains("(uncertainty 0.1 bar, k = 2)", StringComparison.Ordinal));

    [Theory]
    [InlineData(1, 2)]
    [InlineData(40, 40)]
    [InlineData(400, 90)]
    public void A_leak_is_due_before_the_earliest_credible_crossing_within_ninety_days(double earliestDay, double dueDay)
    {
        Assessment assessment = Example.At(
            0, Verdict.FallingFasterThanAllowed,
            forecast: new CrossingForecast(Example.Day0.AddDays(earliestDay + 10), Example.Day0.AddDays(earliestDay), null));
        Assert.Equal(Example.Day0.AddDays(dueDay), JobWriter.Write(Example.Vessel(), JobCause.FallingFasterThanAllowed, assessment).Due);
    }

    private static Job Write(JobCause cause, double barGauge, VesselType type = VesselType.Bladder) =>
        JobWriter.Write(Example.Vessel(type), cause, Example.At(0, Verdict.BelowLowerLimit, barGauge));

    private static double Density(double pressurePa, double kelvins)
    {
        double low = 1, high = 20_000;
        for (int i = 0; i < 100; i++)
        {
            double middle = (low + high) / 2;
            (low, high) = NitrogenEquation.PressurePa(kelvins, middle) < pressurePa ? (middle, high) : (low, middle);
        }

        return low;
    }
}
