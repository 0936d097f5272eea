using System.Text.Json;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>What the scripts of a round need to correct a reading of one vessel without network, as JSON on the page.</summary>
internal static class CheckTable
{
    private static readonly JsonSerializerOptions Shape = new() { PropertyNamingPolicy = JsonNamingPolicy.CamelCase };

    /// <summary>The table of a vessel.</summary>
    public static string Of(VesselSpecification vessel)
    {
        IsochoricTable table = IsochoricTable.For(vessel, HandInstruments.Common);
        return JsonSerializer.Serialize(
            new
            {
                AmbientPa = vessel.Ambient.Pascals,
                LowerPa = vessel.LowerLimit.Pascals,
                UpperPa = vessel.UpperLimit.Pascals,
                table.ReferenceK,
                LowestPa = table.PressuresPa[0],
                StepPa = table.PressuresPa[1] - table.PressuresPa[0],
                Pressures = table.PressuresPa.Count,
                LowestK = table.TemperaturesK[0],
                StepK = table.TemperaturesK[1] - table.TemperaturesK[0],
                Temperatures = table.TemperaturesK.Count,

                // A millionth of the precharge and a thousandth of a bar are finer than the table itself.
                Ratios = table.Ratios.Select(ratio => Math.Round(ratio, 6)),
                ExpandedPa = table.ExpandedPa.Select(pascals => Math.Round(pascals / 100) * 100),
            },
            Shape);
    }

    /// <summary>The units that a reading may be in: Pa in one of each, and decimals worth showing.</summary>
    public static string Units { get; } = JsonSerializer.Serialize(
        PressureUnit.All.ToDictionary(unit => unit.Symbol, unit => new { unit.PascalsPerUnit, unit.Decimals }, StringComparer.Ordinal), Shape);

    /// <summary>The sentences of the meanings.</summary>
    public static string Meanings { get; } = JsonSerializer.Serialize(RoundTexts.Meanings);
}
