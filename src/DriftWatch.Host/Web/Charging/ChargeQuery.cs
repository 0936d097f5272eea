using System.Globalization;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Charging;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Charging;

/// <summary>What is asked of the charge help. Numbers have a decimal point, as number fields of browsers send them.</summary>
/// <param name="Gas">Gas temperature.</param>
/// <param name="Now">What the gauge shows now; null where it was not read.</param>
/// <param name="Bottles">The bottles at hand.</param>
/// <param name="FillingTime">How long the filling takes.</param>
internal sealed record ChargeQuery(GasTemperature Gas, GaugePressure? Now, GasBottles Bottles, TimeSpan FillingTime)
{
    /// <summary>A slow filling (common practice).</summary>
    public const double DefaultMinutes = 10;

    private const double IcePointK = 273.15;
    private const double LowestCelsius = NitrogenRange.LowestTemperatureK - IcePointK;
    private const double HighestCelsius = NitrogenRange.HighestTemperatureK - IcePointK;
    private const double HighestPa = 500e5;

    /// <summary>Reads a query.</summary>
    /// <param name="query">The query: gas, now, litres, bottle, minutes.</param>
    /// <param name="unit">Unit of its pressures.</param>
    /// <param name="faults">What is wrong, by field.</param>
    /// <returns>The query; null when nothing is asked yet, or with faults.</returns>
    public static ChargeQuery? Read(IQueryCollection query, PressureUnit unit, Dictionary<string, string[]> faults)
    {
        double? gas = Number(query, "gas", LowestCelsius, HighestCelsius, "°C", faults);
        double? now = Number(query, "now", 0, HighestPa / unit.PascalsPerUnit, unit.Symbol + " gauge", faults);
        double? litres = Number(query, "litres", 1, 1000, "litres", faults);
        double? bottle = Number(query, "bottle", 1e5 / unit.PascalsPerUnit, HighestPa / unit.PascalsPerUnit, unit.Symbol + " gauge", faults);
        double? minutes = Number(query, "minutes", 0, 240, "minutes", faults);
        return faults.Count > 0 || gas is not { } celsius
            ? null
            : new ChargeQuery(
                GasTemperature.FromDegreesCelsius(celsius),
                now is { } shown ? GaugePressure.FromPascals(shown * unit.PascalsPerUnit) : null,
                new GasBottles(
                    litres is { } volume ? GasVolume.FromLitres(volume) : GasBottles.Common.Volume,
                    bottle is { } full ? GaugePressure.FromPascals(full * unit.PascalsPerUnit) : GasBottles.Common.Pressure),
                TimeSpan.FromMinutes(minutes ?? DefaultMinutes));
    }

    private static double? Number(IQueryCollection query, string name, double least, double greatest, string unit, Dictionary<string, string[]> faults)
    {
        string text = query[name].FirstOrDefault()?.Trim() ?? "";
        if (text.Length == 0)
        {
            return null;
        }

        if (double.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out double value) && value >= least && value <= greatest)
        {
            return value;
        }

        faults[name] = [string.Create(CultureInfo.InvariantCulture, $"'{text}' cannot be used: give a number from {least:0.##} to {greatest:0.##} {unit}, with a decimal point.")];
        return null;
    }
}
