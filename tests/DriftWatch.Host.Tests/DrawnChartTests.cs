using DriftWatch.Host.Charting;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Tests;

/// <summary>A chart is drawn anew when it would show something else, and not with every reading.</summary>
public sealed class DrawnChartTests
{
    private static readonly Vessel Vessel = SampleReadings.Register().Vessels[0];

    private static readonly Assessment Morning = new()
    {
        AsOf = new DateTimeOffset(2026, 3, 4, 6, 0, 0, TimeSpan.Zero),
        HeardLast = new DateTimeOffset(2026, 3, 4, 5, 59, 0, TimeSpan.Zero),
        Verdict = Verdict.WithinLimits,
        Reason = "",
        PointCount = 12,
        PrechargePa = 9.1e6,
    };

    private static readonly DrawnChart Drawn = DrawnChart.Of(Vessel, 12, Morning);

    [Fact]
    public void Further_readings_of_the_same_day_leave_it_as_it_is() =>
        Assert.Equal(Drawn, DrawnChart.Of(Vessel, 12, Morning with { AsOf = Morning.AsOf.AddHours(17), HeardLast = Morning.HeardLast.AddHours(17) }));

    [Fact]
    public void The_next_day_draws_it() => Assert.NotEqual(Drawn, DrawnChart.Of(Vessel, 12, Morning with { AsOf = Morning.AsOf.AddHours(18) }));

    [Fact]
    public void A_window_draws_it_even_when_it_was_rejected_and_nothing_else_is_said() => Assert.NotEqual(Drawn, DrawnChart.Of(Vessel, 13, Morning));

    [Fact]
    public void Another_verdict_level_or_fault_draws_it()
    {
        Assert.NotEqual(Drawn, DrawnChart.Of(Vessel, 12, Morning with { Verdict = Verdict.BelowLowerLimit }));
        Assert.NotEqual(Drawn, DrawnChart.Of(Vessel, 12, Morning with { PrechargePa = 9.0e6 }));
        Assert.NotEqual(Drawn, DrawnChart.Of(Vessel, 12, Morning with { DataFault = "The gas temperature stands still." }));
    }

    [Fact]
    public void Work_on_record_draws_it() =>
        Assert.NotEqual(Drawn, DrawnChart.Of(Vessel with { RecordedCharges = [.. Vessel.RecordedCharges, new PrechargeCheck(Morning.AsOf.AddDays(-1))] }, 12, Morning));
}
