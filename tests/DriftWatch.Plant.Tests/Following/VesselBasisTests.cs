using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Following;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Plant.Tests.Following;

/// <summary>From when on a vessel that has changed is to be assessed anew.</summary>
public sealed class VesselBasisTests
{
    private static readonly Vessel Vessel = Bench.Vessel(chargeDays: [1, 5], checks: [Bench.Check(3, 99), Bench.Check(7)]);

    [Fact]
    public void The_same_vessel_built_again_differs_in_nothing() =>
        Assert.Null(VesselBasis.Of(Bench.Vessel(chargeDays: [1, 5], checks: [Bench.Check(3, 99), Bench.Check(7)])).DiffersFrom(VesselBasis.Of(Vessel)));

    [Fact]
    public void A_basis_that_is_not_known_differs_for_the_whole_time() => Assert.Equal(DateTimeOffset.MinValue, VesselBasis.Of(Vessel).DiffersFrom(null));

    [Fact]
    public void A_record_more_or_less_differs_from_its_moment_on()
    {
        Vessel more = Vessel with { RecordedCharges = [Bench.Check(1), Bench.Check(4), Bench.Check(5)] };
        AssertBothWays(Bench.Start.AddDays(4), Vessel, more);
        AssertBothWays(Bench.Start.AddDays(7), Vessel, Vessel with { RecordedChecks = [Bench.Check(3, 99)] });
        AssertBothWays(Bench.Start.AddDays(9), Vessel, Vessel with { RecordedChecks = [.. Vessel.RecordedChecks, Bench.Check(9)] });
        AssertBothWays(Bench.Start.AddDays(1), Vessel, Vessel with { RecordedCharges = [] });
        AssertBothWays(Bench.Start.AddDays(6), Vessel, Vessel with { TransducerChanges = [Bench.Start.AddDays(6)] });
    }

    [Fact]
    public void A_check_that_found_something_else_differs_from_its_moment_on()
    {
        AssertBothWays(Bench.Start.AddDays(3), Vessel, Vessel with { RecordedChecks = [Bench.Check(3, Math.BitIncrement(99.0)), Bench.Check(7)] });
        AssertBothWays(Bench.Start.AddDays(3), Vessel, Vessel with { RecordedChecks = [Bench.Check(3, 99, celsius: 20.5), Bench.Check(7)] });
        AssertBothWays(Bench.Start.AddDays(7), Vessel, Vessel with { RecordedChecks = [Bench.Check(3, 99), Bench.Check(7, 99)] });
    }

    [Fact]
    public void A_changed_specification_place_or_calendar_differs_for_the_whole_time()
    {
        AssertBothWays(DateTimeOffset.MinValue, Vessel, Vessel with { Specification = Vessel.Specification with { LowerLimit = GaugePressure.FromBar(91) } });
        AssertBothWays(DateTimeOffset.MinValue, Vessel, Vessel with { Specification = Vessel.Specification with { LongestSilence = TimeSpan.FromDays(31) } });
        AssertBothWays(DateTimeOffset.MinValue, Vessel, Vessel with
        {
            Specification = Vessel.Specification with { GasPressureSensor = Vessel.Specification.GasPressureSensor with { StandardUncertaintyPa = 1e4 } },
        });
        AssertBothWays(DateTimeOffset.MinValue, Vessel, Vessel with { Place = "Bay 2" });
        AssertBothWays(DateTimeOffset.MinValue, Vessel, Vessel with { Calendar = PlantCalendar.Default with { LeadTime = TimeSpan.FromDays(1) } });
        AssertBothWays(DateTimeOffset.MinValue, Vessel, Vessel with { Calendar = PlantCalendar.Default with { PlannedStops = [Bench.Start] } });
    }

    [Fact]
    public void Where_the_readings_come_from_makes_no_difference() =>
        Assert.Null(VesselBasis.Of(Vessel with { Sources = [new SignalSource(Signal.GasPressure, "a/b", null, "bar")] }).DiffersFrom(VesselBasis.Of(Vessel)));

    private static void AssertBothWays(DateTimeOffset from, Vessel one, Vessel other)
    {
        Assert.Equal(from, VesselBasis.Of(one).DiffersFrom(VesselBasis.Of(other)));
        Assert.Equal(from, VesselBasis.Of(other).DiffersFrom(VesselBasis.Of(one)));
    }
}
