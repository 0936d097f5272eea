using DriftWatch.Trends.Normalisation;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Tracking;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Trends.Tests.Normalisation;

public class SampleJoinerTests
{
    private static readonly PressureSensor FluidGauge = new(PressureKind.Gauge, 0, 400e5, 0.5e5);

    [Fact]
    public void Gauge_pressure_becomes_absolute_by_the_registered_air_pressure()
    {
        GasSideSample? sample = Feed(Make.Vessel(), At(0, Signal.GasTemperature, 295), At(0, Signal.GasPressure, 99e5));
        Assert.Equal(100e5, sample!.Value.PressurePa);
        Assert.Equal(295, sample.Value.TemperatureK);
        Assert.Null(sample.Value.FluidReleased);
        VesselSpecification absolute = Make.Vessel() with { GasPressureSensor = new PressureSensor(PressureKind.Absolute, 0, 250e5, 0.2e5) };
        Assert.Equal(99e5, Feed(absolute, At(0, Signal.GasTemperature, 295), At(0, Signal.GasPressure, 99e5))!.Value.PressurePa);
    }

    /// <summary>A gauge sensor whose zero lies 1.1 bar low shows less than nothing of a vessel that has run empty.</summary>
    [Fact]
    public void Less_than_nothing_is_next_to_nothing() => Assert.Equal(
        1, Feed(Make.Vessel(), At(0, Signal.GasTemperature, 295), At(0, Signal.GasPressure, -1.1e5))!.Value.PressurePa);

    [Fact]
    public void A_sample_tells_when_the_fluid_side_was_heard()
    {
        GasSideSample sample = Feed(
            Make.Vessel(FluidGauge), At(0, Signal.GasTemperature, 295), At(3, Signal.FluidPressure, 1e5), At(5, Signal.GasPressure, 99e5))!.Value;
        Assert.Equal(sample.Instant.AddMinutes(-2), sample.ReleaseToldAt);
    }

    [Theory]
    [InlineData(30, true)]
    [InlineData(31, false)]
    public void A_temperature_stands_for_half_an_hour(int minutes, bool joined) =>
        Assert.Equal(joined, Feed(Make.Vessel(), At(0, Signal.GasTemperature, 295), At(minutes, Signal.GasPressure, 99e5)) is not null);

    [Fact]
    public void Without_a_temperature_there_is_no_sample() => Assert.Null(Feed(Make.Vessel(), At(0, Signal.GasPressure, 99e5)));

    /// <summary>Released is a fluid side below a tenth of the nominal precharge of 100 bar gauge.</summary>
    [Theory]
    [InlineData(9.9e5, true)]
    [InlineData(10.1e5, false)]
    public void The_fluid_side_pressure_tells_whether_it_is_released(double fluidPa, bool released)
    {
        GasSideSample sample = Feed(
            Make.Vessel(FluidGauge), At(0, Signal.GasTemperature, 295), At(0, Signal.FluidPressure, fluidPa), At(0, Signal.GasPressure, 99e5))!.Value;
        Assert.Equal(released, sample.FluidReleased);
        Assert.False(sample.FromContact);
    }

    [Fact]
    public void An_absolute_fluid_sensor_is_brought_to_gauge()
    {
        var sensor = new PressureSensor(PressureKind.Absolute, 0, 400e5, 0.5e5);
        Assert.True(Feed(
            Make.Vessel(sensor), At(0, Signal.GasTemperature, 295), At(0, Signal.FluidPressure, 10.5e5), At(0, Signal.GasPressure, 99e5))!.Value.FluidReleased);
    }

    [Fact]
    public void A_contact_stands_for_a_day_and_a_fluid_pressure_that_fell_silent_gives_way_to_it()
    {
        VesselSpecification vessel = Make.Vessel(FluidGauge, contact: true);
        Reading[] before = [At(0, Signal.FluidPressure, 200e5), At(0, Signal.Depressurised, 1), At(600, Signal.GasTemperature, 295)];
        GasSideSample sample = Feed(vessel, [.. before, At(600, Signal.GasPressure, 99e5)])!.Value;
        Assert.True(sample.FluidReleased);
        Assert.True(sample.FromContact);
        Assert.Null(Feed(vessel, [.. before, At(26 * 60, Signal.GasTemperature, 295), At(26 * 60, Signal.GasPressure, 99e5)])!.Value.FluidReleased);
    }

    private static Reading At(double minutes, Signal signal, double value) => new(signal, Make.Start.AddMinutes(minutes), value);

    private static GasSideSample? Feed(VesselSpecification vessel, params Reading[] readings)
    {
        var joiner = new SampleJoiner(vessel, TrackerState.Start.Joiner);
        GasSideSample? last = null;
        foreach (Reading reading in readings)
        {
            last = joiner.Accept(reading);
        }

        return last;
    }
}
