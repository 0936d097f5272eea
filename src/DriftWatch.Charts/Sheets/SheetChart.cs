using DriftWatch.Gas.Units;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Sheets;

/// <summary>The trend of a vessel as it stands on a sheet.</summary>
internal static class SheetChart
{
    /// <summary>So large that its smallest lettering prints at some 8 pt.</summary>
    private static readonly ChartStyle Style = new(740, 460);

    public static SheetPart.Picture Of(Vessel vessel, IReadOnlyList<PrechargeWindow> windows, Assessment assessment, PressureUnit unit)
    {
        IReadOnlyList<TrendSegment> segments = assessment.Segment is { } segment ? [segment] : [];
        var taken = windows.Count(window => window.Standing == WindowStanding.Accepted);
        return new SheetPart.Picture(
            TrendChart.Render(vessel, windows, segments, assessment, Style, unit),
            $"Trend of {vessel.Id} as of {SheetTexts.Day(assessment.AsOf)}: precharge against time, {taken} windows taken of {windows.Count}. {new SheetTexts(unit).Kept(VerdictWords.Reason(vessel.Specification, assessment, unit))}");
    }
}
