namespace DriftWatch.Gas.Quantities;

/// <summary>
/// Pressure and temperature at which an amount of gas is stated as a volume. The trade has several, up to 9 % apart, so a
/// standard volume always says which one. The gas counts as ideal there, as flow meters and gas suppliers count it.
/// </summary>
public sealed record StandardCondition
{
    private StandardCondition(string name, double pressurePa, double temperatureK)
    {
        Name = name;
        Pressure = AbsolutePressure.FromPascals(pressurePa);
        Temperature = GasTemperature.FromKelvins(temperatureK);
        MolarVolumeM3PerMol = MolarGasConstant.JoulesPerMoleKelvin * temperatureK / pressurePa;
    }

    /// <summary>Normal condition, DIN 1343: 0 degrees C, 101 325 Pa. The usual one for 'standard cm3' of leak rates.</summary>
    public static StandardCondition Din1343 { get; } = new("DIN 1343: 0 degrees C, 1.01325 bar", 101_325, 273.15);

    /// <summary>Standard condition of natural gas, ISO 13443: 15 degrees C, 101 325 Pa.</summary>
    public static StandardCondition Iso13443 { get; } = new("ISO 13443: 15 degrees C, 1.01325 bar", 101_325, 288.15);

    /// <summary>Standard reference atmosphere of fluid power, ISO 8778: 20 degrees C, 100 000 Pa.</summary>
    public static StandardCondition Iso8778 { get; } = new("ISO 8778: 20 degrees C, 1 bar", 100_000, 293.15);

    /// <summary>All conditions, the usual one of leak rates first.</summary>
    public static IReadOnlyList<StandardCondition> All { get; } = [Din1343, Iso13443, Iso8778];

    /// <summary>Name of the standard alone, such as 'DIN 1343'.</summary>
    public string Standard => Name[..Name.IndexOf(':', StringComparison.Ordinal)];

    /// <summary>The standard that defines it, with temperature and pressure, for pages and reports.</summary>
    public string Name { get; }

    /// <summary>Absolute pressure of the condition.</summary>
    public AbsolutePressure Pressure { get; }

    /// <summary>Temperature of the condition.</summary>
    public GasTemperature Temperature { get; }

    /// <summary>Ideal-gas molar volume in m3/mol.</summary>
    public double MolarVolumeM3PerMol { get; }
}
