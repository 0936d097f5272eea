namespace DriftWatch.Charts;

/// <summary>Size of a chart.</summary>
public sealed record ChartStyle
{
    /// <summary>Narrowest and widest chart, px.</summary>
    public const int LeastWidthPx = 480;

    /// <inheritdoc cref="LeastWidthPx"/>
    public const int GreatestWidthPx = 8000;

    /// <summary>Lowest and highest chart, px.</summary>
    public const int LeastHeightPx = 360;

    /// <inheritdoc cref="LeastHeightPx"/>
    public const int GreatestHeightPx = 8000;

    /// <summary>A chart for a page or a job sheet: 1200 x 700 px.</summary>
    public static ChartStyle Page { get; } = new(1200, 700);

    /// <summary>Makes a style.</summary>
    /// <param name="widthPx">Width, 480 to 8000 px, ends included.</param>
    /// <param name="heightPx">Height, 360 to 8000 px, ends included.</param>
    /// <exception cref="ArgumentOutOfRangeException">A side outside its range.</exception>
    public ChartStyle(int widthPx, int heightPx)
    {
        WidthPx = Side(widthPx, LeastWidthPx, GreatestWidthPx, nameof(widthPx));
        HeightPx = Side(heightPx, LeastHeightPx, GreatestHeightPx, nameof(heightPx));
    }

    /// <summary>Width, px.</summary>
    public int WidthPx { get; }

    /// <summary>Height, px.</summary>
    public int HeightPx { get; }

    private static int Side(int value, int least, int greatest, string parameter) =>
        value >= least && value <= greatest
            ? value
            : throw new ArgumentOutOfRangeException(
                parameter, value, $"A chart side of {value} px does not hold its lettering; allowed is {least} to {greatest} px, ends included.");
}
