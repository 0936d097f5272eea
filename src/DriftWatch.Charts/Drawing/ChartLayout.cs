using DriftWatch.Charts.Content;

namespace DriftWatch.Charts.Drawing;

/// <summary>Where everything stands, px. Every label has its room before anything is drawn, so that none runs into another.</summary>
internal sealed class ChartLayout
{
    public const float Edge = 16;
    public const float HeadingSize = 20;
    public const float SubheadingSize = 13;
    public const float FigureSize = 14;
    public const float EventSize = 12;
    public const float RowHeight = 17;
    private const int MostEventRows = 3;

    public ChartLayout(ChartContent content, ChartStyle style)
    {
        WidthPx = style.WidthPx;
        HeightPx = style.HeightPx;
        LimitLabels =
        [
            (content.UpperLimit, $"upper limit {content.Scale.Text(content.UpperLimit)}", true),
            (content.Nominal, $"nominal {content.Scale.Text(content.Nominal)}", false),
            (content.LowerLimit, $"lower limit {content.Scale.Text(content.LowerLimit)}", true),
        ];
        FigureRows = Wrapped(content.Figures, FigureSize, WidthPx - (2 * Edge));
        KeyRows = KeyEntry.Rows(content, WidthPx - (2 * Edge));
        Bottom = HeightPx - 34 - (KeyRows.Count * 22) - 8;
        Right = WidthPx - LimitLabels.Max(l => Pen.Width(l.Text, Pen.Small)) - 8 - Edge;

        var top = Edge + HeadingSize + 8 + SubheadingSize + 10 + (FigureRows.Count * 20) + 8;
        Pressure = WithRoomForCrossing(content, Bottom - top);
        PressureTicks = AxisTicks.Pressure(Pressure, (int)((Bottom - top) / 48));
        Left = Edge + 24 + PressureTicks.Select(t => Pen.Width(t.Label, Pen.Small)).DefaultIfEmpty().Max() + 8;
        TimeTicks = AxisTicks.Time(content.Time, (int)((Right - Left) / 92));

        Time = content.Time;
        EventLabels = PlaceEvents(content.Events);
        var eventRows = EventLabels.Count == 0 ? 0 : EventLabels.Max(l => l.Row) + 1;
        Top = top + (eventRows * RowHeight) + 4;
    }

    public float WidthPx { get; }

    public float HeightPx { get; }

    public float Left { get; }

    public float Top { get; }

    public float Right { get; }

    public float Bottom { get; }

    public AxisSpan Time { get; }

    public AxisSpan Pressure { get; }

    public IReadOnlyList<string> FigureRows { get; }

    public IReadOnlyList<IReadOnlyList<KeyEntry>> KeyRows { get; }

    public IReadOnlyList<AxisTick> TimeTicks { get; }

    public IReadOnlyList<AxisTick> PressureTicks { get; }

    public IReadOnlyList<(double Value, string Text, bool Strong)> LimitLabels { get; }

    public IReadOnlyList<(ChartEvent Event, string Text, float Left, int Row)> EventLabels { get; }

    public float X(double day) => (float)(Left + ((day - Time.Low) / Time.Length * (Right - Left)));

    public float Y(double value) => (float)(Bottom - ((value - Pressure.Low) / Pressure.Length * (Bottom - Top)));

    // The date of the crossing stands under the lower limit.
    private static AxisSpan WithRoomForCrossing(ChartContent content, double heightPx)
    {
        const double RoomPx = 34;
        var pressure = content.Pressure;
        if (content.Crossing is not { } crossing || !content.Time.Holds(crossing.Day))
        {
            return pressure;
        }

        var share = Math.Min(0.4, RoomPx / Math.Max(1, heightPx));
        var low = content.LowerLimit - (share / (1 - share) * (pressure.High - content.LowerLimit));
        return pressure with { Low = Math.Min(pressure.Low, low) };
    }

    private List<(ChartEvent Event, string Text, float Left, int Row)> PlaceEvents(IReadOnlyList<ChartEvent> events)
    {
        List<(ChartEvent Event, string Text, float Left, int Row)> placed = [];
        var rowEnds = new float[MostEventRows];
        Array.Fill(rowEnds, float.NegativeInfinity);
        foreach (var item in events)
        {
            // With its date where there is room, else the word alone; a line too crowded for that stands unlabelled.
            foreach (var text in new[] { item.Label, item.ShortLabel })
            {
                var width = Pen.Width(text, EventSize);
                var left = Math.Clamp(X(item.Day) - (width / 2), Left, Math.Max(Left, Right - width));
                var row = Array.FindIndex(rowEnds, end => end + 10 <= left);
                if (row >= 0)
                {
                    rowEnds[row] = left + width;
                    placed.Add((item, text, left, row));
                    break;
                }
            }
        }

        return placed;
    }

    private static List<string> Wrapped(IReadOnlyList<string> phrases, float size, float widest)
    {
        List<string> rows = [];
        foreach (var phrase in phrases)
        {
            var joined = rows.Count > 0 ? $"{rows[^1]}  ·  {phrase}".Replace("  ", " ", StringComparison.Ordinal) : phrase;
            if (rows.Count > 0 && Pen.Width(joined, size) <= widest)
            {
                rows[^1] = joined;
            }
            else
            {
                rows.Add(Pen.Fitted(phrase, size, false, widest));
            }
        }

        return rows;
    }
}
