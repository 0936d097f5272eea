using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Quantities;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Tests.Inspection;

/// <summary>A week, four months, then six months; a loss starts over (common practice).</summary>
public sealed class InspectionLadderTests
{
    private static readonly VesselSpecification Vessel = Make.Vessel();
    private static readonly PrechargeCheck Charged = new(Day(2026, 1, 10));

    [Fact]
    public void The_first_check_is_due_a_week_after_charging() =>
        Assert.Equal(new NextInspection(0, Day(2026, 1, 17)), InspectionLadder.After(Vessel, Charged, []));

    [Fact]
    public void Without_a_loss_the_next_is_due_after_four_months_and_then_every_six()
    {
        PrechargeCheck[] checks = [Good(2026, 1, 17), Good(2026, 5, 20), Good(2026, 11, 20), Good(2027, 5, 20)];
        Assert.Equal(new NextInspection(1, Day(2026, 5, 17)), InspectionLadder.After(Vessel, Charged, checks[..1]));
        Assert.Equal(new NextInspection(2, Day(2026, 11, 20)), InspectionLadder.After(Vessel, Charged, checks[..2]));
        Assert.Equal(new NextInspection(3, Day(2027, 5, 20)), InspectionLadder.After(Vessel, Charged, checks[..3]));
        Assert.Equal(new NextInspection(4, Day(2027, 11, 20)), InspectionLadder.After(Vessel, Charged, checks));
    }

    [Fact]
    public void A_precharge_below_its_limit_starts_the_ladder_over_at_any_time()
    {
        PrechargeCheck low = Found(Day(2026, 3, 1), Vessel.LowerLimit.Bar - 0.5);
        Assert.Equal(new NextInspection(0, Day(2026, 3, 8), AfterLoss: true), InspectionLadder.After(Vessel, Charged, [Good(2026, 1, 17), low]));
    }

    [Fact]
    public void A_transducer_that_sees_the_same_loss_again_does_not_put_off_the_check_due_for_it()
    {
        PrechargeCheck[] low = [.. Enumerable.Range(1, 30).Select(day => Found(Day(2026, 3, day), Vessel.LowerLimit.Bar - 0.5) with { Transducer = 1 })];
        Assert.Equal(new NextInspection(0, Day(2026, 3, 8), AfterLoss: true), InspectionLadder.After(Vessel, Charged, low));

        // By hand somebody was there: the next look is due a week after it.
        PrechargeCheck hand = low[29] with { Transducer = 0 };
        Assert.Equal(new NextInspection(0, Day(2026, 4, 6), AfterLoss: true), InspectionLadder.After(Vessel, Charged, [.. low[..29], hand]));
    }

    [Fact]
    public void A_loss_faster_than_allowed_since_the_charge_starts_it_over_though_the_limit_is_kept()
    {
        // Allowed are so many bar in the 50 days between, and 1 % of the nominal for the two gauge readings.
        double nominal = Vessel.NominalPrecharge.Bar;
        double allowed = Vessel.AllowedLossPaPerSecond * 50 * 86400 / 1e5 + 0.01 * nominal;
        PrechargeCheck left = Found(Charged.At, nominal);
        PrechargeCheck within = Found(Charged.At.AddDays(50), nominal - allowed + 0.05);
        PrechargeCheck beyond = Found(Charged.At.AddDays(50), nominal - allowed - 0.05);
        Assert.True(nominal - allowed - 0.05 > Vessel.LowerLimit.Bar, "The limit would answer in place of the rate.");

        Assert.Equal(1, InspectionLadder.After(Vessel, left, [within]).Rung);
        Assert.Equal(new NextInspection(0, Charged.At.AddDays(57), AfterLoss: true), InspectionLadder.After(Vessel, left, [beyond]));

        // Without the value that the charge left only the limit can tell.
        Assert.Equal(1, InspectionLadder.After(Vessel, Charged, [beyond]).Rung);
    }

    /// <summary>Left without values, or seen first by a transducer that shows more: the first check by hand is what the later ones are held against.</summary>
    [Fact]
    public void Where_the_charge_left_no_values_by_hand_a_check_is_held_against_the_first_one_by_hand()
    {
        double nominal = Vessel.NominalPrecharge.Bar;
        double allowed = Vessel.AllowedLossPaPerSecond * 50 * 86400 / 1e5 + 0.01 * nominal;
        double lost = nominal - allowed - 0.05;
        PrechargeCheck later = Found(Charged.At.AddDays(57), lost);
        NextInspection loss = new(0, Charged.At.AddDays(64), AfterLoss: true);
        Assert.Equal(loss, InspectionLadder.After(Vessel, Charged, [Found(Charged.At.AddDays(7), nominal), later]));

        // A check of which only the fact is on record is nothing to hold another against.
        Assert.Equal(loss, InspectionLadder.After(Vessel, Charged, [new PrechargeCheck(Charged.At.AddDays(3)), Found(Charged.At.AddDays(7), nominal), later]));

        PrechargeCheck seen = Found(Charged.At, nominal) with { Transducer = 1 };
        Assert.Equal(1, InspectionLadder.After(Vessel, seen, [Found(Charged.At.AddDays(7), lost)]).Rung);
        Assert.Equal(loss, InspectionLadder.After(Vessel, seen, [Found(Charged.At.AddDays(7), nominal), later]));
    }

    [Fact]
    public void A_cold_vessel_shows_less_and_has_lost_nothing()
    {
        // What the gauge shows at 5 degrees C of a vessel at its nominal: by the density, not by the limits.
        GasTemperature cold = GasTemperature.FromDegreesCelsius(5);
        GaugePressure shown = ChargingTarget.GaugePressureAt(cold, Vessel.NominalPrecharge.ToAbsolute(Vessel.Ambient), Vessel.ReferenceTemperature, Vessel.Ambient);
        Assert.True(shown.Bar < Vessel.NominalPrecharge.Bar - 4, "15 K make some 5 bar.");
        PrechargeCheck check = new(Day(2026, 1, 18), shown, cold);
        Assert.Equal(Vessel.NominalPrecharge.Bar, check.PrechargeOf(Vessel)!.Value.Bar, 6);
        Assert.False(check.FindsLoss(Vessel, Found(Charged.At, Vessel.NominalPrecharge.Bar)));
    }

    [Fact]
    public void A_check_before_its_time_does_not_climb_and_does_not_put_off_the_next() =>
        Assert.Equal(new NextInspection(1, Day(2026, 5, 17)), InspectionLadder.After(Vessel, Charged, [Good(2026, 1, 17), Good(2026, 2, 1), Good(2026, 5, 16)]));

    [Fact]
    public void Checks_before_the_charge_do_not_count() =>
        Assert.Equal(new NextInspection(0, Day(2026, 1, 17)), InspectionLadder.After(Vessel, Charged, [Good(2025, 12, 1), Good(2026, 1, 10)]));

    [Fact]
    public void Checks_out_of_order_are_refused() =>
        Assert.Throws<ArgumentException>("checks", () => InspectionLadder.After(Vessel, Charged, [Good(2026, 5, 1), Good(2026, 4, 1)]));

    private static PrechargeCheck Good(int year, int month, int day) => new(Day(year, month, day));

    /// <summary>Read at the reference temperature: the precharge is what the gauge shows.</summary>
    private static PrechargeCheck Found(DateTimeOffset at, double barGauge) => new(at, GaugePressure.FromBar(barGauge), Vessel.ReferenceTemperature);

    private static DateTimeOffset Day(int year, int month, int day) => new(year, month, day, 0, 0, 0, TimeSpan.Zero);
}
