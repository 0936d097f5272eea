namespace DriftWatch.Charts.Content;

/// <summary>What an axis shows, from its low to its high end.</summary>
internal readonly record struct AxisSpan(double Low, double High)
{
    public double Length => High - Low;

    public bool Holds(double value) => value >= Low && value <= High;
}
