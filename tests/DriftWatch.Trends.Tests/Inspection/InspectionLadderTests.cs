using DriftWatch.Trends.Inspection;

namespace DriftWatch.Trends.Tests.Inspection;

/// <summary>A week, four months, then six months; a loss starts over (common practice).</summary>
public sealed class InspectionLadderTests
{
    private static readonly DateTimeOffset Charged = Day(2026, 1, 10);

    [Fact]
    public void The_first_check_is_due_a_week_after_charging() =>
        Assert.Equal(new NextInspection(0, Day(2026, 1, 17)), InspectionLadder.After(Charged, []));

    [Fact]
    public void Without_a_loss_the_next_is_due_after_four_months_and_then_every_six()
    {
        PrechargeCheck[] checks = [Good(2026, 1, 17), Good(2026, 5, 20), Good(2026, 11, 20), Good(2027, 5, 20)];
        Assert.Equal(new NextInspection(1, Day(2026, 5, 17)), InspectionLadder.After(Charged, checks[..1]));
        Assert.Equal(new NextInspection(2, Day(2026, 11, 20)), InspectionLadder.After(Charged, checks[..2]));
        Assert.Equal(new NextInspection(3, Day(2027, 5, 20)), InspectionLadder.After(Charged, checks[..3]));
        Assert.Equal(new NextInspection(4, Day(2027, 11, 20)), InspectionLadder.After(Charged, checks));
    }

    [Fact]
    public void A_loss_starts_the_ladder_over_at_any_time() =>
        Assert.Equal(
            new NextInspection(0, Day(2026, 3, 8)),
            InspectionLadder.After(Charged, [Good(2026, 1, 17), new PrechargeCheck(Day(2026, 3, 1), LossFound: true)]));

    [Fact]
    public void A_check_before_its_time_does_not_climb_and_does_not_put_off_the_next() =>
        Assert.Equal(new NextInspection(1, Day(2026, 5, 17)), InspectionLadder.After(Charged, [Good(2026, 1, 17), Good(2026, 2, 1), Good(2026, 5, 16)]));

    [Fact]
    public void Checks_before_the_charge_do_not_count() =>
        Assert.Equal(new NextInspection(0, Day(2026, 1, 17)), InspectionLadder.After(Charged, [Good(2025, 12, 1), Good(2026, 1, 10)]));

    [Fact]
    public void Checks_out_of_order_are_refused() =>
        Assert.Throws<ArgumentException>("checks", () => InspectionLadder.After(Charged, [Good(2026, 5, 1), Good(2026, 4, 1)]));

    private static PrechargeCheck Good(int year, int month, int day) => new(Day(year, month, day), LossFound: false);

    private static DateTimeOffset Day(int year, int month, int day) => new(year, month, day, 0, 0, 0, TimeSpan.Zero);
}
