using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Tracking;

namespace DriftWatch.Trends.Tests.Normalisation;

public class TemperatureWatchTests
{
    [Fact]
    public void A_temperature_that_stands_while_the_pressure_stands_is_sound()
    {
        TemperatureWatch watch = Standing(hours: 48, lowestPa: 99.9e5, highestPa: 100.1e5);
        Assert.False(watch.Doubtful);
        Assert.False(watch.Stuck);
    }

    /// <summary>100 bar of resting nitrogen gain some 0.37 bar with 1 K: half a bar at a standing temperature needs explaining.</summary>
    [Theory]
    [InlineData(2, false, false)]
    [InlineData(4, true, false)]
    [InlineData(30, true, false)]
    public void A_resting_pressure_that_moves_raises_doubt_after_three_hours(double hours, bool doubtful, bool stuck)
    {
        TemperatureWatch watch = Standing(hours, 100e5, 100.5e5);
        Assert.Equal(doubtful, watch.Doubtful);
        Assert.Equal(stuck, watch.Stuck);
    }

    [Theory]
    [InlineData(20, false)]
    [InlineData(25, true)]
    public void A_working_machine_at_a_standing_temperature_for_a_day_means_stuck(double hours, bool stuck) =>
        Assert.Equal(stuck, Standing(hours, 100e5, 180e5).Stuck);

    /// <summary>What 10 K make of 100 bar at rest, 0.37 bar each, is no longer taken for a room that is even.</summary>
    [Theory]
    [InlineData(102.5, false)]
    [InlineData(104, true)]
    public void Ten_kelvins_unseen_prove_a_temperature_stuck(double highestBar, bool stuck)
    {
        TemperatureWatch watch = Standing(hours: 25, 100e5, highestBar * 1e5);
        Assert.True(watch.Doubtful);
        Assert.Equal(stuck, watch.Stuck);
    }

    /// <summary>A pressure that only falls may be a loss: doubt, and no proof. That it rises again by 2 K of a resting gas proves it.</summary>
    [Theory]
    [InlineData(92, 92.3, false)]
    [InlineData(40, 40.3, false)]
    [InlineData(92, 92.9, true)]
    [InlineData(92, 100, true)]
    public void A_fall_alone_is_no_stuck_temperature(double toBar, double thenBar, bool stuck)
    {
        var watch = new TemperatureWatch(TrackerState.Start.Watch);
        for (int hour = 0; hour <= 72; hour++)
        {
            watch.AcceptTemperature(Make.Start.AddHours(hour), 295);
            watch.AcceptPressure((hour < 24 ? 100 : hour < 48 ? toBar : thenBar) * 1e5);
        }

        Assert.True(watch.Doubtful);
        Assert.Equal((stuck, !stuck), (watch.Stuck, watch.OnlyFell));
    }

    [Fact]
    public void One_step_of_the_temperature_clears_it()
    {
        TemperatureWatch watch = Standing(30, 100e5, 180e5);
        Assert.True(watch.AcceptTemperature(Make.Start.AddHours(31), 295.1));
        Assert.False(watch.Stuck);
        Assert.False(watch.Doubtful);
        Assert.Equal(Make.Start.AddHours(31), watch.Since);
    }

    /// <summary>
    /// Steps of 1 K in an even room: a value stands for four days while the machine works. That it went on by one step says that so long is no
    /// fault; three times as long is. A sensor that shows hundredths is stuck after a day, whatever it did.
    /// </summary>
    [Theory]
    [InlineData(1.0, 11, false)]
    [InlineData(1.0, 13, true)]
    [InlineData(0.01, 2, true)]
    public void A_coarse_temperature_that_stood_before_and_went_on_is_stuck_only_when_it_stands_for_much_longer(double finestK, double days, bool stuck)
    {
        var watch = new TemperatureWatch(TrackerState.Start.Watch);
        for (int hour = 0; hour <= (9 + days) * 24; hour++)
        {
            double kelvins = hour < 24 ? 294 : hour < 24 * 5 ? 295 : hour < (24 * 9) - 1 ? 296 : 297 + (hour < 24 * 9 ? 0 : finestK);
            watch.AcceptTemperature(Make.Start.AddHours(hour), kelvins);
            watch.AcceptPressure((hour % 2 == 0 ? 100 : 180) * 1e5);
        }

        Assert.Equal(stuck, watch.Stuck);
    }

    private static TemperatureWatch Standing(double hours, double lowestPa, double highestPa)
    {
        var watch = new TemperatureWatch(TrackerState.Start.Watch);
        for (double minute = 0; minute <= hours * 60; minute += 10)
        {
            watch.AcceptTemperature(Make.Start.AddMinutes(minute), 295);
            watch.AcceptPressure(minute % 20 == 0 ? lowestPa : highestPa);
        }

        return watch;
    }
}
