namespace DriftWatch.Charts.Drawing;

/// <summary>What a line of the key shows a sample of.</summary>
internal enum KeySample
{
    Point,
    EarlierPoint,
    Trend,
    Forecast,
    Crossing,
    Check,
    Ambiguous,
    Rejected,
    Outside,
}
