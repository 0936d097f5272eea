namespace DriftWatch.Charts.Content;

/// <summary>All that a chart shows, before any pixel: pressures are gauge in the chart's unit, times are days.</summary>
internal sealed record ChartContent
{
    public required string VesselId { get; init; }

    public required string Heading { get; init; }

    public required string AsOf { get; init; }

    public required string Subheading { get; init; }

    /// <summary>Phrases under the heading: rate, forecast, data faults.</summary>
    public required IReadOnlyList<string> Figures { get; init; }

    public required string AxisTitle { get; init; }

    public required PressureScale Scale { get; init; }

    public required AxisSpan Time { get; init; }

    public required AxisSpan Pressure { get; init; }

    public required double LowerLimit { get; init; }

    public required double Nominal { get; init; }

    public required double UpperLimit { get; init; }

    /// <summary>Accepted points of the current segment.</summary>
    public required IReadOnlyList<ChartPoint> Current { get; init; }

    /// <summary>Accepted points of earlier segments.</summary>
    public required IReadOnlyList<ChartPoint> Earlier { get; init; }

    /// <summary>Checks by hand, in order of time, with the uncertainty of common instruments.</summary>
    public required IReadOnlyList<ChartPoint> Checks { get; init; }

    public required IReadOnlyList<ChartPoint> Ambiguous { get; init; }

    public required IReadOnlyList<ChartPoint> Rejected { get; init; }

    /// <summary>Trend over the points it rests on; empty without a fit.</summary>
    public required IReadOnlyList<BandPoint> Trend { get; init; }

    /// <summary>Trend beyond its last point, at most to the crossing; empty without a fit.</summary>
    public required IReadOnlyList<BandPoint> Forecast { get; init; }

    public required CrossingMark? Crossing { get; init; }

    /// <summary>In order of time.</summary>
    public required IReadOnlyList<ChartEvent> Events { get; init; }
}
