using DriftWatch.Plant.Alarms;

namespace DriftWatch.Plant.Tests.Alarms;

public class AlarmHandlingTests
{
    [Fact]
    public void The_usual_values_are_those_of_the_page_and_have_no_fault()
    {
        // docs/alarms.md, 'comes after' and 'goes after'.
        Assert.Equal(
            [(0, 24), (6, 24), (0, 72), (6, 24), (0, 0), (0, 24)],
            Enum.GetValues<AlarmKind>().Select(kind => (AlarmHandling.Usual.OnDelay.Of(kind).TotalHours, AlarmHandling.Usual.OffDelay.Of(kind).TotalHours)));
        Assert.Empty(AlarmHandling.Usual.Faults("alarms"));
    }

    [Fact]
    public void The_ends_of_the_ranges_are_good_and_what_lies_beyond_is_told_at_once_with_each_field()
    {
        AlarmHandling least = new()
        {
            OffDelay = new AlarmOffDelays { FallingFasterThanAllowed = TimeSpan.Zero },
            DeadbandPercent = new AlarmDeadbands { BelowLowerLimit = 0, AboveUpperLimit = 0 },
            Flood = new AlarmFloodRule { Vessels = 2, Window = TimeSpan.FromMinutes(1) },
            GreatestShelvingTime = TimeSpan.FromHours(1),
        };
        AlarmHandling greatest = new()
        {
            OnDelay = new AlarmOnDelays { DataFault = TimeSpan.FromDays(30) },
            OffDelay = new AlarmOffDelays { DataFault = TimeSpan.FromDays(90) },
            DeadbandPercent = new AlarmDeadbands { BelowLowerLimit = 20, AboveUpperLimit = 20 },
            Flood = new AlarmFloodRule { Vessels = 1000, Window = TimeSpan.FromDays(30) },
            GreatestShelvingTime = TimeSpan.FromDays(365),
        };
        Assert.Empty(least.Faults("alarms").Concat(greatest.Faults("alarms")));
        TimeSpan tick = TimeSpan.FromTicks(1);
        AlarmHandling wrong = new()
        {
            OnDelay = new AlarmOnDelays { DataFault = TimeSpan.FromDays(30) + tick, BelowLowerLimit = -tick },
            OffDelay = new AlarmOffDelays { NoWindowTooLong = TimeSpan.FromDays(90) + tick },
            DeadbandPercent = new AlarmDeadbands { BelowLowerLimit = double.NaN, AboveUpperLimit = 20.1 },
            Flood = new AlarmFloodRule { Vessels = 1, Window = TimeSpan.FromDays(30) + tick },
            GreatestShelvingTime = TimeSpan.FromHours(1) - tick,
        };
        Assert.Equal(
            [
                "alarms.onDelay.belowLowerLimit", "alarms.onDelay.dataFault", "alarms.offDelay.noWindowTooLong", "alarms.deadbandPercent.belowLowerLimit",
                "alarms.deadbandPercent.aboveUpperLimit", "alarms.flood.vessels", "alarms.flood.window", "alarms.greatestShelvingTime",
            ],
            wrong.Faults("alarms").Select(fault => fault.Split(' ')[0]));
    }

    [Fact]
    public void A_shelf_has_an_end_within_the_greatest_shelving_time()
    {
        AlarmHandling handling = new() { GreatestShelvingTime = TimeSpan.FromDays(2) };
        Assert.Null(handling.WhyNotShelved(TimeSpan.FromDays(2)));
        Assert.Contains("within 2 days", handling.WhyNotShelved(TimeSpan.FromDays(2) + TimeSpan.FromTicks(1)), StringComparison.Ordinal);
        Assert.NotNull(handling.WhyNotShelved(TimeSpan.Zero));
        Assert.NotNull(handling.WhyNotShelved(null));
    }
}
