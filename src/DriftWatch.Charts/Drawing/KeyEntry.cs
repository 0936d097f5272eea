using System.Globalization;
using DriftWatch.Charts.Content;

namespace DriftWatch.Charts.Drawing;

/// <summary>One line of the key: a sample of the mark and what it means.</summary>
internal sealed record KeyEntry(KeySample Sample, string Text)
{
    public const float SampleWidth = 34;
    public const float Gap = 22;

    public float Width => SampleWidth + Pen.Width(Text, Pen.Small) + Gap;

    /// <summary>Entries for what the chart really shows, broken into rows.</summary>
    public static IReadOnlyList<IReadOnlyList<KeyEntry>> Rows(ChartContent content, float widest)
    {
        List<List<KeyEntry>> rows = [];
        var used = 0f;
        foreach (var entry in Entries(content))
        {
            if (rows.Count == 0 || used + entry.Width - Gap > widest)
            {
                rows.Add([]);
                used = 0;
            }

            rows[^1].Add(entry);
            used += entry.Width;
        }

        return rows;
    }

    private static IEnumerable<KeyEntry> Entries(ChartContent content)
    {
        if (content.Current.Count > 0)
        {
            yield return new KeyEntry(KeySample.Point, Counted("precharge point, bar: 95 %, random part", content.Current.Count));
        }

        if (content.Earlier.Count > 0)
        {
            yield return new KeyEntry(KeySample.EarlierPoint, Counted("earlier segment", content.Earlier.Count));
        }

        if (content.Trend.Count > 0)
        {
            yield return new KeyEntry(KeySample.Trend, "trend, 95 % band");
        }

        if (content.Forecast.Count > 0)
        {
            yield return new KeyEntry(KeySample.Forecast, "forecast");
        }

        if (content.Crossing is { } crossing && content.Time.Holds(crossing.Day))
        {
            yield return new KeyEntry(KeySample.Crossing, "lower limit reached, 95 % interval");
        }

        if (content.Checks.Count > 0)
        {
            yield return new KeyEntry(KeySample.Check, Counted("check by hand, bar: 95 %", content.Checks.Count));
        }

        if (content.Ambiguous.Count > 0)
        {
            yield return new KeyEntry(KeySample.Ambiguous, Counted("ambiguous window, kept out", content.Ambiguous.Count));
        }

        if (content.Rejected.Count > 0)
        {
            yield return new KeyEntry(KeySample.Rejected, Counted("rejected window, kept out", content.Rejected.Count));
        }

        var outside = content.Current.Concat(content.Earlier).Concat(content.Checks).Concat(content.Ambiguous).Concat(content.Rejected)
            .Count(p => !content.Pressure.Holds(p.Value));
        if (outside > 0)
        {
            yield return new KeyEntry(KeySample.Outside, Counted("outside the scale", outside));
        }
    }

    private static string Counted(string text, int count) => string.Create(CultureInfo.InvariantCulture, $"{text} ({count})");
}
