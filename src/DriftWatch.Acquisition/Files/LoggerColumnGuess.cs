using System.Text.RegularExpressions;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Files;

/// <summary>What a column of a logger file holds, by its header and its row of units.</summary>
/// <param name="Signal">The signal.</param>
/// <param name="Unit">Unit; empty for a contact.</param>
/// <param name="Doubt">What is not sure; null where nothing is.</param>
internal sealed partial record LoggerColumnGuess(Signal Signal, string Unit, string? Doubt)
{
    /// <summary>Units as loggers write them.</summary>
    private static readonly Dictionary<string, string> Units = new(StringComparer.OrdinalIgnoreCase)
    {
        ["bar"] = "bar",
        ["barg"] = "bar",
        ["bara"] = "bar",
        ["bar(g)"] = "bar",
        ["bar(a)"] = "bar",
        ["kpa"] = "kPa",
        ["mpa"] = "MPa",
        ["pa"] = "Pa",
        ["hpa"] = "hPa",
        ["mbar"] = "hPa",
        ["psi"] = "psi",
        ["psig"] = "psi",
        ["psia"] = "psi",
        ["°c"] = "Cel",
        ["℃"] = "Cel",
        ["c"] = "Cel",
        ["degc"] = "Cel",
        ["deg c"] = "Cel",
        ["cel"] = "Cel",
        ["celsius"] = "Cel",
        ["grad c"] = "Cel",
        ["°f"] = "degF",
        ["f"] = "degF",
        ["degf"] = "degF",
        ["deg f"] = "degF",
        ["k"] = "K",
    };

    private static readonly string[] FluidWords = ["fluid", "oil", "öl", "hyd", "system", "line", "leitung"];
    private static readonly string[] GasWords = ["gas", "n2", "nitrogen", "stickstoff", "precharge", "vorspann"];
    private static readonly string[] ContactWords = ["released", "depressuri", "drucklos", "entlastet"];

    /// <summary>The guess; null where the column is for something else.</summary>
    public static LoggerColumnGuess? Of(string header, string unitRow)
    {
        string? unit = UnitOf(unitRow) ?? UnitOf(InBrackets().Match(header).Groups[1].Value) ?? UnitOf(LastWord().Match(header).Groups[1].Value);
        if (unit is null)
        {
            return ContactWords.Any(word => header.Contains(word, StringComparison.OrdinalIgnoreCase))
                ? new LoggerColumnGuess(Signal.Depressurised, "", null)
                : null;
        }

        bool fluid = FluidWords.Any(word => header.Contains(word, StringComparison.OrdinalIgnoreCase));
        bool gas = GasWords.Any(word => header.Contains(word, StringComparison.OrdinalIgnoreCase));
        if (unit is "Cel" or "degF" or "K")
        {
            // A temperature of the oil or of the room is none of the gas.
            return fluid && !gas ? null : new LoggerColumnGuess(Signal.GasTemperature, unit, gas ? null : "taken for the gas temperature, and its header does not say so");
        }

        string written = UnitOf(unitRow) is not null ? unitRow : header;
        string? kind = written.Contains("bara", StringComparison.OrdinalIgnoreCase) || written.Contains("bar(a)", StringComparison.OrdinalIgnoreCase) || written.Contains("psia", StringComparison.OrdinalIgnoreCase)
            ? "its unit says absolute pressure; see that the register says so too (\"kind\": \"absolute\")"
            : null;
        return fluid && !gas
            ? new LoggerColumnGuess(Signal.FluidPressure, unit, kind)
            : new LoggerColumnGuess(Signal.GasPressure, unit, kind ?? (gas ? null : "taken for the gas pressure, and its header does not say so"));
    }

    private static string? UnitOf(string text) => Units.GetValueOrDefault(text.Trim().Trim('[', ']').Trim());

    [GeneratedRegex(@"[\[(]\s*([^\[]+?)\s*[\])]\s*$", RegexOptions.CultureInvariant)]
    private static partial Regex InBrackets();

    [GeneratedRegex(@"[_ ]([^_ ]+)$", RegexOptions.CultureInvariant)]
    private static partial Regex LastWord();
}
