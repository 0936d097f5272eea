using System.Globalization;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Plant.Advice;

/// <summary>How a filling goes, in words. Documents for queues hold them in bar; every face may say them anew in the unit of its reader from the same figures.</summary>
public static class FillingWords
{
    /// <summary>The words, a line each; numbers culture-invariant.</summary>
    /// <param name="advice">The figures.</param>
    /// <param name="unit">Unit of the pressures, all gauge.</param>
    public static IReadOnlyList<string> Of(FillingAdvice advice, PressureUnit unit)
    {
        ArgumentNullException.ThrowIfNull(advice);
        ArgumentNullException.ThrowIfNull(unit);
        string target = Pressure(advice.SettledBarGauge, unit);
        string shell = Invariant($"(shell at {advice.GasTemperatureCelsius:0} degrees C)");
        return
        [
            advice.HighestAtEndBarGauge is { } end && end > advice.SettledBarGauge
                ? $"Gas pushed in is warm and settles lower: filled fast the gauge shows up to {Pressure(end, unit)} at the end and settles at {target} {shell}; filled slowly it shows less. Fill a little above the target, never above {Pressure(end, unit)}."
                : $"Gas pushed in is warm and settles lower: fill slowly and in steps, never more than a little above the target of {target} {shell}, and let it settle after each.{(advice is { HighestAtEndBarGauge: null, Bottles: not null } ? " Filled fast, the gauge would pass the highest working pressure, or the bottles run too cold." : "")}",
            "Let it settle for at least 10 minutes and until pressure and gas temperature stand still; then bleed slowly down to the target for the temperature read.",
            advice.Bottles is { } count
                ? Invariant($"It takes {count} fresh bottle{(count == 1 ? "" : "s")} of {advice.BottleLitres:0} litres at {Chosen(advice.BottleBarGauge, unit)}, one after the other.")
                : $"Bottles of {Chosen(advice.BottleBarGauge, unit)} do not reach {target} by their own pressure: a booster made for nitrogen is needed.",
        ];
    }

    private static string Pressure(double bar, PressureUnit unit) =>
        $"{(bar * 1e5 / unit.PascalsPerUnit).ToString("F" + unit.Decimals.ToString(CultureInfo.InvariantCulture), CultureInfo.InvariantCulture)} {unit.Symbol}";

    /// <summary>What people chose, without digits that say nothing.</summary>
    private static string Chosen(double bar, PressureUnit unit) =>
        $"{Math.Round(bar * 1e5 / unit.PascalsPerUnit, unit.Decimals).ToString("0.##", CultureInfo.InvariantCulture)} {unit.Symbol}";

    private static string Invariant(FormattableString text) => FormattableString.Invariant(text);
}
