using System.Diagnostics.CodeAnalysis;
using DriftWatch.Gas.Units;

namespace DriftWatch.Host.Settings;

/// <summary>The pressure units people choose from.</summary>
internal static class Units
{
    public static string Names { get; } = string.Join(", ", PressureUnit.All.Select(unit => unit.Symbol));

    public static bool TryParse(string symbol, [NotNullWhen(true)] out PressureUnit? unit)
    {
        unit = PressureUnit.All.FirstOrDefault(known => known.Symbol == symbol);
        return unit is not null;
    }
}
