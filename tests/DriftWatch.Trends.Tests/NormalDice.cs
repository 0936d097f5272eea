namespace DriftWatch.Trends.Tests;

/// <summary>Normal deviates with a seed, the same on every machine.</summary>
internal sealed class NormalDice(int seed)
{
    private readonly Random _random = new(seed);

    /// <summary>Mean 0, standard deviation 1 (Box and Muller).</summary>
    public double Next() =>
        Math.Sqrt(-2 * Math.Log(1 - _random.NextDouble())) * Math.Cos(2 * Math.PI * _random.NextDouble());

    /// <summary>0 to below 1.</summary>
    public double Uniform() => _random.NextDouble();
}
