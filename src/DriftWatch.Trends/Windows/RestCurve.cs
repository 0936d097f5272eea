namespace DriftWatch.Trends.Windows;

/// <summary>
/// A rest as columns: time, temperature and its rate, and the normalised pressure with the lag of the temperature sensor taken
/// out. A sensor that follows by the time L shows the gas L times the rate too cold while it warms, and the normalised pressure
/// too high by that times its sensitivity.
/// </summary>
internal sealed class RestCurve
{
    /// <summary>Later than this into a rest it is the weather that turns the temperature, s.</summary>
    private const double LatestTurnS = 3600;

    /// <param name="blocks">The rest, oldest first; at least one.</param>
    /// <param name="lagS">Lag of the temperature sensor to take out, s; a rest shorter than it does not show the rate, and stays as it is.</param>
    /// <param name="perKelvinPa">Change of the normalised pressure by an error of one kelvin, Pa/K, above 0.</param>
    public RestCurve(IReadOnlyList<RestBlock> blocks, double lagS, double perKelvinPa)
    {
        PerKelvinPa = perKelvinPa;
        Count = blocks.Count;
        Seconds = new double[Count];
        Kelvins = new double[Count];
        Pascals = new double[Count];
        for (int i = 0; i < Count; i++)
        {
            Seconds[i] = (blocks[i].Middle - blocks[0].First).TotalSeconds;
            Kelvins[i] = blocks[i].MeanTemperatureK;
            Pascals[i] = blocks[i].MeanPrechargePa;
        }

        if (lagS <= 0 || Seconds[^1] - Seconds[0] < lagS)
        {
            return;
        }

        LagS = lagS;
        for (int i = 0; i < Count; i++)
        {
            Pascals[i] -= perKelvinPa * lagS * RateAbout(i, lagS);
        }
    }

    public int Count { get; }

    /// <summary>Lag taken out, s; 0 for none.</summary>
    public double LagS { get; }

    /// <summary>Middle of each block since the start of the rest, s.</summary>
    public double[] Seconds { get; }

    /// <summary>Temperature read, K.</summary>
    public double[] Kelvins { get; }

    /// <summary>Normalised pressure without lag, Pa.</summary>
    public double[] Pascals { get; }

    public double PerKelvinPa { get; }

    /// <summary>Mean rate of the temperature from one block to a later one, K/s; 0 between blocks of one instant.</summary>
    public double Rate(int from, int to) =>
        Seconds[to] > Seconds[from] ? (Kelvins[to] - Kelvins[from]) / (Seconds[to] - Seconds[from]) : 0;

    /// <summary>Movement of the normalised pressure between two blocks, both included, by a straight line, and its standard uncertainty, Pa.</summary>
    public (double MovementPa, double UncertaintyPa) Movement(int from, int to, double noisePa)
    {
        int count = to - from + 1;
        double spanSeconds = Seconds[to] - Seconds[from];
        if (count < 2 || spanSeconds <= 0)
        {
            return (0, noisePa);
        }

        double meanTime = 0, meanValue = 0;
        for (int i = from; i <= to; i++)
        {
            meanTime += (Seconds[i] - Seconds[from]) / count;
            meanValue += Pascals[i] / count;
        }

        double squares = 0, products = 0;
        for (int i = from; i <= to; i++)
        {
            double time = Seconds[i] - Seconds[from] - meanTime;
            squares += time * time;
            products += time * (Pascals[i] - meanValue);
        }

        return (products / squares * spanSeconds, noisePa / Math.Sqrt(squares) * spanSeconds);
    }

    /// <summary>
    /// Rate of the temperature about a block over at least a time, K/s: the lag multiplies it, and over less than the lag the
    /// noise of two readings would outgrow what is to be corrected.
    /// </summary>
    private double RateAbout(int block, double leastS)
    {
        int from = Math.Max(0, block - 1), to = Math.Min(Count - 1, block + 1);
        while (Seconds[to] - Seconds[from] < leastS)
        {
            from = Math.Max(0, from - 1);
            to = Math.Min(Count - 1, to + 1);
        }

        return Rate(from, to);
    }

    /// <summary>
    /// First block after the turning point of the temperature: expansion cools the gas at once, the sensor needs a while to show
    /// the coldest, and from there on the walls have their way.
    /// </summary>
    public int AfterTurn()
    {
        int farthest = 0;
        for (int i = 1; i < Count && Seconds[i] <= LatestTurnS; i++)
        {
            if (Math.Abs(Kelvins[i] - Kelvins[^1]) > Math.Abs(Kelvins[farthest] - Kelvins[^1]))
            {
                farthest = i;
            }
        }

        return Math.Min(farthest + 1, Count - 1);
    }
}
