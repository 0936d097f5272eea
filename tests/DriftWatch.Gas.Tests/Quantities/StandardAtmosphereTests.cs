using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Tests.Quantities;

public class StandardAtmosphereTests
{
    /// <summary>hPa at geopotential altitude in m: ICAO Doc 7488 and ISO 2533, from memory, to the digits given.</summary>
    [Theory]
    [InlineData(0, 1013.25)]
    [InlineData(1000, 898.746)]
    [InlineData(2000, 794.952)]
    [InlineData(3000, 701.085)]
    [InlineData(5000, 540.199)]
    [InlineData(11_000, 226.32)]
    public void Agrees_with_the_ICAO_table(double altitudeM, double hectopascals) =>
        Assert.Equal(hectopascals, StandardAtmosphere.AmbientAt(altitudeM).Pascals / 100, 0.01);

    [Fact]
    public void Below_sea_level_the_air_is_denser() =>
        // Second route: hydrostatic column of 610 m at the mean temperature of that layer.
        Assert.Equal(
            101_325 * Math.Exp(9.80665 * 610 / (287.053 * (288.15 + (0.0065 * 305)))),
            StandardAtmosphere.AmbientAt(-610).Pascals,
            5.0);
}
