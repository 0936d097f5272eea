namespace DriftWatch.Gas.Quantities;

/// <summary>
/// Ambient pressure from altitude by the ICAO standard atmosphere (ICAO Doc 7488, ISO 2533), troposphere layer. Weather moves
/// the true pressure some 3 % to either side.
/// </summary>
public static class StandardAtmosphere
{
    /// <summary>Lowest altitude taken, m.</summary>
    public const double LowestAltitudeM = -610;

    /// <summary>Highest altitude taken, m: the top of the troposphere layer.</summary>
    public const double HighestAltitudeM = 11_000;

    private const double SeaLevelPressurePa = 101_325;
    private const double SeaLevelTemperatureK = 288.15;
    private const double LapseRateKPerM = 0.0065;
    private const double GravityMPerS2 = 9.80665;
    private const double AirGasConstantJPerKgK = 287.05287;

    /// <summary>Ambient absolute pressure at an altitude.</summary>
    /// <param name="altitudeM">
    /// Altitude above sea level in m, -610 to 11 000, both ends included; strictly the geopotential altitude, which at 5 km is
    /// 4 m (0.05 % of the pressure) below the surveyed one.
    /// </param>
    /// <exception cref="ArgumentOutOfRangeException">NaN or outside the range.</exception>
    public static AbsolutePressure AmbientAt(double altitudeM)
    {
        Require.Within(
            altitudeM, LowestAltitudeM, HighestAltitudeM, nameof(altitudeM), "Altitude", "m", "Give the ambient pressure itself instead.");
        double temperatureRatio = 1 - (LapseRateKPerM * altitudeM / SeaLevelTemperatureK);
        double exponent = GravityMPerS2 / (AirGasConstantJPerKgK * LapseRateKPerM);
        return AbsolutePressure.FromPascals(SeaLevelPressurePa * Math.Pow(temperatureRatio, exponent));
    }
}
