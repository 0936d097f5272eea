using DriftWatch.Gas.Leaks;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Units;

/// <summary>The units a reader has chosen, for pages, reports and job sheets. Inside everything stays SI.</summary>
public sealed record DisplayUnits
{
    /// <summary>bar, °C, litres, std cm3/min at the condition of DIN 1343.</summary>
    public static DisplayUnits Metric { get; } = new();

    /// <summary>psi, °F, US gallons, std cm3/min at the condition of DIN 1343.</summary>
    public static DisplayUnits UsCustomary { get; } = new()
    {
        Pressure = PressureUnit.Psi,
        Temperature = TemperatureUnit.DegreesFahrenheit,
        Volume = VolumeUnit.UsGallon,
    };

    /// <summary>Unit of pressures; bar where not said.</summary>
    public PressureUnit Pressure { get; init; } = PressureUnit.Bar;

    /// <summary>Unit of temperatures; °C where not said.</summary>
    public TemperatureUnit Temperature { get; init; } = TemperatureUnit.DegreesCelsius;

    /// <summary>Unit of volumes; litres where not said.</summary>
    public VolumeUnit Volume { get; init; } = VolumeUnit.Litre;

    /// <summary>Unit of leak rates; std cm3/min at the condition of DIN 1343 where not said.</summary>
    public LeakRateUnit LeakRate { get; init; } = LeakRateUnit.StandardCubicCentimetresPerMinute(StandardCondition.Din1343);

    /// <summary>A gauge pressure in the reader's unit, with the word 'gauge'.</summary>
    /// <param name="pressure">The pressure.</param>
    /// <param name="culture">Format of the number.</param>
    public string Show(GaugePressure pressure, IFormatProvider culture) => PressureText.Format(pressure, Pressure, culture);

    /// <summary>An absolute pressure in the reader's unit, with the word 'absolute'.</summary>
    /// <param name="pressure">The pressure.</param>
    /// <param name="culture">Format of the number.</param>
    public string Show(AbsolutePressure pressure, IFormatProvider culture) => PressureText.Format(pressure, Pressure, culture);

    /// <summary>A temperature in the reader's unit.</summary>
    /// <param name="temperature">The temperature.</param>
    /// <param name="culture">Format of the number.</param>
    public string Show(GasTemperature temperature, IFormatProvider culture) => TemperatureText.Format(temperature, Temperature, culture);

    /// <summary>A volume in the reader's unit.</summary>
    /// <param name="volume">The volume.</param>
    /// <param name="culture">Format of the number.</param>
    public string Show(GasVolume volume, IFormatProvider culture) => VolumeText.Format(volume, Volume, culture);

    /// <summary>A leak rate in the reader's unit, with its condition.</summary>
    /// <param name="rate">The leak rate.</param>
    /// <param name="culture">Format of the number.</param>
    public string Show(LeakRate rate, IFormatProvider culture) => LeakRateText.Format(rate, LeakRate, culture);
}
