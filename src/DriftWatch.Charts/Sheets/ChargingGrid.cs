using DriftWatch.Plant.Jobs;

namespace DriftWatch.Charts.Sheets;

/// <summary>The charging table: gauge pressure by gas temperature, side by side so that it stays short.</summary>
internal static class ChargingGrid
{
    private const int Sets = 4;

    private static readonly string[] Heads = ["Gas", "Gauge"];

    private static readonly double[] Shares = [0.1, 0.15];

    public static SheetPart.Grid Of(IReadOnlyList<ChargingTargetRow> targets, SheetTexts texts)
    {
        var height = (targets.Count + Sets - 1) / Sets;
        List<IReadOnlyList<string>> rows = [];
        for (var row = 0; row < height; row++)
        {
            List<string> cells = [];
            for (var set = 0; set < Sets; set++)
            {
                var at = (set * height) + row;
                cells.AddRange(at < targets.Count
                    ? [SheetTexts.Celsius(targets[at].GasTemperatureCelsius), $"{texts.Number(targets[at].TargetBarGauge * 1e5)} {texts.Unit.Symbol}"]
                    : ["", ""]);
            }

            rows.Add(cells);
        }

        return new SheetPart.Grid(
            "By the gas temperature read, fluid side released",
            [.. Enumerable.Repeat(Heads, Sets).SelectMany(pair => pair)],
            [.. Enumerable.Repeat(Shares, Sets).SelectMany(pair => pair)],
            rows);
    }
}
