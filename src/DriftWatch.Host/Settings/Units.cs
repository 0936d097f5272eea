using DriftWatch.Charts;

namespace DriftWatch.Host.Settings;

/// <summary>The pressure units people choose from.</summary>
internal static class Units
{
    public const string Names = "bar, MPa, kPa or psi";

    public static bool TryParse(string text, out PressureUnit unit)
    {
        (bool known, unit) = text.ToUpperInvariant() switch
        {
            "BAR" => (true, PressureUnit.Bar),
            "MPA" => (true, PressureUnit.Megapascal),
            "KPA" => (true, PressureUnit.Kilopascal),
            "PSI" => (true, PressureUnit.Psi),
            _ => (false, default),
        };
        return known;
    }
}
