using System.Globalization;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Charging;
using DriftWatch.Plant.Records;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Charging;

/// <summary>What is asked of the charge help. Numbers have a decimal point, as number fields of browsers send them.</summary>
/// <param name="Gas">Gas temperature.</param>
/// <param name="Now">What the gauge shows now; null where it was not read.</param>
/// <param name="Bottles">The bottles at hand.</param>
/// <param name="FillingTime">How long the filling takes.</param>
/// <param name="SeparatorFoundSound">Whether somebody has looked at the separator and found it sound.</param>
internal sealed record ChargeQuery(GasTemperature Gas, GaugePressure? Now, GasBottles Bottles, TimeSpan FillingTime, bool SeparatorFoundSound)
{
    /// <summary>A slow filling (common practice).</summary>
    public const double DefaultMinutes = 10;

    /// <summary>What the query says of a separator that was looked at.</summary>
    public const string Sound = "sound";

    /// <summary>Field of the query that names the unit of its pressures: they are what was read, whatever unit they are shown in later.</summary>
    public const string UnitField = "in";

    private const double LowestCelsius = NitrogenRange.LowestTemperatureK - GasTemperature.IcePointKelvins;
    private const double HighestCelsius = NitrogenRange.HighestTemperatureK - GasTemperature.IcePointKelvins;
    private const double HighestBottlePa = 500e5;

    /// <summary>As great as a check or charge may be on record.</summary>
    private const double HighestNowPa = WorkRecord.GreatestBarGauge * 1e5;

    /// <summary>The unit in which the pressures of a query were read.</summary>
    /// <param name="query">The query.</param>
    /// <param name="otherwise">The unit of a query that names none.</param>
    /// <param name="faults">What is wrong, by field.</param>
    public static PressureUnit UnitOf(IQueryCollection query, PressureUnit otherwise, Dictionary<string, string[]> faults)
    {
        string symbol = query[UnitField].FirstOrDefault() ?? "";
        if (symbol.Length == 0)
        {
            return otherwise;
        }

        if (PressureUnit.All.FirstOrDefault(unit => unit.Symbol == symbol) is { } known)
        {
            return known;
        }

        faults[UnitField] = [$"'{symbol}' is no unit of pressure here: give one of {string.Join(", ", PressureUnit.All)}."];
        return otherwise;
    }

    /// <summary>Reads a query.</summary>
    /// <param name="query">The query: gas, now, litres, bottle, minutes, separator.</param>
    /// <param name="unit">Unit of its pressures.</param>
    /// <param name="faults">What is wrong, by field.</param>
    /// <returns>The query; null when nothing is asked yet, or with faults.</returns>
    public static ChargeQuery? Read(IQueryCollection query, PressureUnit unit, Dictionary<string, string[]> faults)
    {
        double? gas = Number(query, "gas", LowestCelsius, HighestCelsius, "°C", faults);
        double? now = Number(query, "now", 0, HighestNowPa / unit.PascalsPerUnit, unit.Symbol + " gauge", faults);
        double? litres = Number(query, "litres", 1, 1000, "litres", faults);
        double? bottle = Number(query, "bottle", 1e5 / unit.PascalsPerUnit, HighestBottlePa / unit.PascalsPerUnit, unit.Symbol + " gauge", faults);
        double? minutes = Number(query, "minutes", 0, 240, "minutes", faults);
        string separator = query["separator"].FirstOrDefault() ?? "";
        if (separator is not ("" or Sound))
        {
            faults["separator"] = [$"'{separator}' says nothing of the separator: give '{Sound}' once somebody has looked at it and found it sound, or leave it out."];
        }

        return faults.Count > 0 || gas is not { } celsius
            ? null
            : new ChargeQuery(
                GasTemperature.FromDegreesCelsius(celsius),
                now is { } shown ? GaugePressure.FromPascals(shown * unit.PascalsPerUnit) : null,
                new GasBottles(
                    litres is { } volume ? GasVolume.FromLitres(volume) : GasBottles.Common.Volume,
                    bottle is { } full ? GaugePressure.FromPascals(full * unit.PascalsPerUnit) : GasBottles.Common.Pressure),
                TimeSpan.FromMinutes(minutes ?? DefaultMinutes),
                separator == Sound);
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
