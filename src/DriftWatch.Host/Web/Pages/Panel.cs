namespace DriftWatch.Host.Web.Pages;

/// <summary>A small plot drawn by the server.</summary>
public sealed record Panel
{
    /// <summary>More points than a panel has pixels are thinned to the extremes of each pixel.</summary>
    private const int Columns = 400;

    /// <summary>Heading above it, with the unit of the vertical axis.</summary>
    public required string Title { get; init; }

    /// <summary>What it shows, in a sentence for those who cannot see it.</summary>
    public required string Spoken { get; init; }

    /// <summary>Text under the horizontal axis.</summary>
    public required string Across { get; init; }

    public required double Left { get; init; }

    public required double Right { get; init; }

    public required double Bottom { get; init; }

    public required double Top { get; init; }

    public required IReadOnlyList<(double At, string Text)> AcrossTicks { get; init; }

    public required IReadOnlyList<(double At, string Text)> UpTicks { get; init; }

    /// <summary>Lines, each with its class in the style sheet.</summary>
    public IReadOnlyList<(string Class, IReadOnlyList<(double X, double Y)> Points)> Lines { get; init; } = [];

    public IReadOnlyList<(double X, double Y)> Dots { get; init; } = [];

    /// <summary>Part of the horizontal axis to stand out; null for none.</summary>
    public (double From, double To)? Shade { get; init; }

    /// <summary>Range of values with a margin, never empty.</summary>
    public static (double Low, double High) RangeOf(IEnumerable<double> values, double least)
    {
        double low = double.PositiveInfinity, high = double.NegativeInfinity;
        foreach (double value in values)
        {
            low = Math.Min(low, value);
            high = Math.Max(high, value);
        }

        if (low > high)
        {
            return (0, least);
        }

        double margin = Math.Max((least - (high - low)) / 2, 0.06 * (high - low));
        return (low - margin, high + margin);
    }

    /// <summary>Round values inside a range, some five of them, and the decimals that tell them apart.</summary>
    public static (IReadOnlyList<double> Values, int Decimals) Round(double low, double high)
    {
        double raw = (high - low) / 4;
        double power = Math.Pow(10, Math.Floor(Math.Log10(raw)));
        double step = power * ((raw / power) switch { < 1.5 => 1, < 3.5 => 2, < 7.5 => 5, _ => 10 });
        List<double> values = [];
        for (double at = Math.Ceiling(low / step); at * step <= high; at++)
        {
            values.Add(at * step);
        }

        return (values, (int)Math.Clamp(-Math.Floor(Math.Log10(step)), 0, 6));
    }

    /// <summary>Points thinned so that each column of pixels keeps its lowest and highest.</summary>
    public static IReadOnlyList<(double X, double Y)> Thin(IReadOnlyList<(double X, double Y)> points)
    {
        if (points.Count <= 2 * Columns)
        {
            return points;
        }

        List<(double X, double Y)> kept = [];
        int column = (points.Count + Columns - 1) / Columns;
        for (int start = 0; start < points.Count; start += column)
        {
            var part = points.Skip(start).Take(column).ToList();
            (double X, double Y) low = part.MinBy(point => point.Y), high = part.MaxBy(point => point.Y);
            kept.Add(low.X <= high.X ? low : high);
            kept.Add(low.X <= high.X ? high : low);
        }

        return kept;
    }
}
