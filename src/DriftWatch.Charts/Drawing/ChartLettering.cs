using DriftWatch.Charts.Content;
using ScottPlot;
using SkiaSharp;

namespace DriftWatch.Charts.Drawing;

/// <summary>All lettering of a chart, the key, and the marks at the border of the plot.</summary>
internal sealed class ChartLettering(ChartContent content, ChartLayout layout, SKCanvas canvas)
{
    private readonly Pen _pen = new(canvas);

    public void Draw()
    {
        Head();
        Ticks();
        LimitLabels();
        EventLabels();
        OutsideMarks();
        Crossing();
        Key();
    }

    private void Head()
    {
        const float Edge = ChartLayout.Edge;
        var baseline = Edge + ChartLayout.HeadingSize - 3;
        var asOfWidth = Pen.Width(content.AsOf, ChartLayout.SubheadingSize);
        var widest = layout.WidthPx - (2 * Edge);
        _pen.Write(
            Pen.Fitted(content.Heading, ChartLayout.HeadingSize, true, widest - asOfWidth - 20),
            Edge, baseline, Ink.Text, ChartLayout.HeadingSize, bold: true);
        _pen.Write(content.AsOf, layout.WidthPx - Edge, baseline, Ink.Text, ChartLayout.SubheadingSize, align: SKTextAlign.Right);
        baseline += ChartLayout.SubheadingSize + 9;
        _pen.Write(
            Pen.Fitted(content.Subheading, ChartLayout.SubheadingSize, false, widest), Edge, baseline, Ink.Quiet, ChartLayout.SubheadingSize);
        baseline += 4;
        foreach (var row in layout.FigureRows)
        {
            baseline += 20;
            _pen.Write(row, Edge, baseline, Ink.Text, ChartLayout.FigureSize);
        }
    }

    private void Ticks()
    {
        foreach (var tick in layout.PressureTicks)
        {
            _pen.Write(tick.Label, layout.Left - 8, layout.Y(tick.Position) + 4, Ink.Text, align: SKTextAlign.Right);
        }

        foreach (var tick in layout.TimeTicks)
        {
            var half = Pen.Width(tick.Label, Pen.Small) / 2;
            _pen.Write(tick.Label, Math.Max(layout.X(tick.Position), half + 4), layout.Bottom + 20, Ink.Text, align: SKTextAlign.Center);
        }

        _pen.Write("UTC", layout.WidthPx - ChartLayout.Edge, layout.Bottom + 20, Ink.Quiet, align: SKTextAlign.Right);
        _pen.WriteUpwards(content.AxisTitle, ChartLayout.Edge + 10, (layout.Top + layout.Bottom) / 2, Ink.Text, 13);
    }

    /// <summary>Beside the plot, from top to bottom, pushed apart where the limits lie close.</summary>
    private void LimitLabels()
    {
        const float Spacing = 16;
        var baselines = layout.LimitLabels.Select(l => layout.Y(l.Value) + 4).ToArray();
        // The middle one keeps its place; its neighbours move away from it.
        baselines[0] = Math.Min(baselines[0], baselines[1] - Spacing);
        baselines[2] = Math.Max(baselines[2], baselines[1] + Spacing);
        for (var n = 0; n < baselines.Length; n++)
        {
            var label = layout.LimitLabels[n];
            _pen.Write(label.Text, layout.Right + 8, baselines[n], label.Strong ? Ink.Limit : Ink.Quiet);
        }
    }

    private void EventLabels()
    {
        foreach (var (item, _, _, row) in layout.EventLabels)
        {
            // Row 0 lies next to the plot; a leader runs up to the higher ones.
            var baseline = layout.Top - 7 - (row * ChartLayout.RowHeight);
            if (row > 0)
            {
                _pen.Line(layout.X(item.Day), layout.Top, layout.X(item.Day), baseline + 4, Ink.LightBar, 1);
            }
        }

        foreach (var (_, text, left, row) in layout.EventLabels)
        {
            _pen.WriteOnPatch(text, left, layout.Top - 7 - (row * ChartLayout.RowHeight), Ink.Quiet, ChartLayout.EventSize);
        }
    }

    private void OutsideMarks()
    {
        const float Size = 8;
        var outside = content.Current.Concat(content.Earlier).Concat(content.Checks).Concat(content.Ambiguous).Concat(content.Rejected)
            .Where(p => !layout.Pressure.Holds(p.Value))
            .Select(p => (X: layout.X(p.Day), IsAbove: p.Value > layout.Pressure.High))
            .OrderBy(p => p.X);
        var lastAbove = float.NegativeInfinity;
        var lastBelow = float.NegativeInfinity;
        foreach (var (x, isAbove) in outside)
        {
            ref var last = ref isAbove ? ref lastAbove : ref lastBelow;
            if (x - last >= Size + 1)
            {
                last = x;
                _pen.Mark(
                    isAbove ? MarkerShape.OpenTriangleUp : MarkerShape.OpenTriangleDown,
                    x, isAbove ? layout.Top + 6 : layout.Bottom - 6, Size, Ink.Quiet);
            }
        }
    }

    private void Crossing()
    {
        if (content.Crossing is not { } crossing)
        {
            return;
        }

        var date = crossing.Label;
        if (!content.Time.Holds(crossing.Day))
        {
            var end = content.Forecast.Count > 0 ? content.Forecast[^1].Level : content.LowerLimit;
            var text = $"lower limit {date}";
            var baseline = Math.Clamp(layout.Y(end) + 22, layout.Top + 14, layout.Bottom - 8);
            var tip = layout.Right - 4;
            _pen.WriteOnPatch(text, tip - 26 - Pen.Width(text, Pen.Small, true), baseline, Ink.Trend, bold: true);
            _pen.Line(tip - 20, baseline - 4, tip, baseline - 4, Ink.Trend, 2);
            _pen.Line(tip, baseline - 4, tip - 6, baseline - 9, Ink.Trend, 2);
            _pen.Line(tip, baseline - 4, tip - 6, baseline + 1, Ink.Trend, 2);
            return;
        }

        var y = layout.Y(content.LowerLimit);
        var from = IntervalEnd(crossing.Earliest, crossing.Day, layout.Left);
        var to = IntervalEnd(crossing.Latest, crossing.Day, layout.Right);
        _pen.Line(from.X, y, to.X, y, Ink.Trend, 3.5f);
        foreach (var (x, isOpen, outward) in new[] { (from.X, from.IsOpen, -1), (to.X, to.IsOpen, 1) })
        {
            if (isOpen)
            {
                _pen.Line(x, y, x - (outward * 8), y - 6, Ink.Trend, 2);
                _pen.Line(x, y, x - (outward * 8), y + 6, Ink.Trend, 2);
            }
            else
            {
                _pen.Line(x, y - 7, x, y + 7, Ink.Trend, 2);
            }
        }

        var at = layout.X(crossing.Day);
        _pen.Mark(MarkerShape.FilledDiamond, at, y, 16, Ink.Paper);
        _pen.Mark(MarkerShape.FilledDiamond, at, y, 12, Ink.Trend);
        var width = Pen.Width(date, Pen.Small, true);
        var left = Math.Clamp(at - (width / 2), layout.Left + 4, Math.Max(layout.Left + 4, layout.Right - width - 4));
        _pen.WriteOnPatch(date, left, Math.Min(y + 24, layout.Bottom - 5), Ink.Trend, bold: true);
    }

    private (float X, bool IsOpen) IntervalEnd(double? day, double crossing, float border)
    {
        // An end that contradicts the crossing (numerically equal, say) must not turn the bar round.
        if (day is not { } at)
        {
            return (border, true);
        }

        var x = layout.X(border == layout.Left ? Math.Min(at, crossing) : Math.Max(at, crossing));
        return x < layout.Left || x > layout.Right ? (border, true) : (x, false);
    }

    private void Key()
    {
        var y = layout.HeightPx - 8 - (layout.KeyRows.Count * 22) + 8;
        foreach (var row in layout.KeyRows)
        {
            var x = ChartLayout.Edge;
            foreach (var entry in row)
            {
                Sample(entry.Sample, x, y);
                _pen.Write(entry.Text, x + KeyEntry.SampleWidth, y + 4, Ink.Text);
                x += entry.Width;
            }

            y += 22;
        }
    }

    private void Sample(KeySample sample, float x, float y)
    {
        const float Length = 26;
        var middle = x + (Length / 2);
        switch (sample)
        {
            case KeySample.Point:
            case KeySample.EarlierPoint:
                var isPoint = sample == KeySample.Point;
                _pen.Line(middle, y - 8, middle, y + 8, isPoint ? Ink.Quiet : Ink.LightBar, 1.2f);
                _pen.Mark(MarkerShape.FilledCircle, middle, y, 8, isPoint ? Ink.Text : Ink.Past);
                break;
            case KeySample.Trend:
                _pen.Box(x, y - 6, x + Length, y + 6, Ink.Band);
                _pen.Line(x, y, x + Length, y, Ink.Trend, 2);
                break;
            case KeySample.Forecast:
                _pen.Line(x, y, x + Length, y, Ink.Trend, 2, Dash.Forecast);
                break;
            case KeySample.Crossing:
                _pen.Line(x, y, x + Length, y, Ink.Trend, 3.5f);
                _pen.Line(x, y - 6, x, y + 6, Ink.Trend, 2);
                _pen.Line(x + Length, y - 6, x + Length, y + 6, Ink.Trend, 2);
                _pen.Mark(MarkerShape.FilledDiamond, middle, y, 11, Ink.Trend);
                break;
            case KeySample.Check:
                _pen.Line(middle, y - 8, middle, y + 8, Ink.Trend, 1.2f);
                _pen.Mark(MarkerShape.OpenSquare, middle, y, 8, Ink.Trend);
                break;
            case KeySample.Ambiguous:
                _pen.Mark(MarkerShape.OpenDiamond, middle, y, 9, Ink.Text);
                break;
            case KeySample.Rejected:
                _pen.Mark(MarkerShape.Eks, middle, y, 8, Ink.Quiet);
                break;
            case KeySample.Outside:
                _pen.Mark(MarkerShape.OpenTriangleUp, middle, y, 8, Ink.Quiet);
                break;
            default:
                throw new ArgumentOutOfRangeException(nameof(sample), sample, "The key has no such sample.");
        }
    }
}
