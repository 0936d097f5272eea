namespace DriftWatch.SamplePlant;

/// <summary>Temperatures of shell, gas and sensor, each following the one before with a first-order lag; K.</summary>
public sealed class Warmth
{
    private readonly double shellPart;
    private readonly double gasPart;
    private readonly double sensorPart;
    private double shellK;

    /// <param name="script">Gives the lags.</param>
    /// <param name="startK">All begin at this temperature.</param>
    public Warmth(VesselScript script, double startK)
    {
        shellPart = PartOfAMinute(script.ShellLagMinutes);
        gasPart = PartOfAMinute(script.GasLagMinutes);
        sensorPart = PartOfAMinute(script.TemperatureSensorLagMinutes);
        shellK = startK;
        GasK = startK;
        SensorK = startK;
    }

    /// <summary>Mean of the gas; set where the gas is compressed, expanded or charged.</summary>
    public double GasK { get; set; }

    /// <summary>The sensor's element.</summary>
    public double SensorK { get; private set; }

    /// <summary>Lets a minute pass with the shell in surroundings of <paramref name="aroundK"/>.</summary>
    public void PassMinute(double aroundK)
    {
        shellK += (aroundK - shellK) * shellPart;
        GasK += (shellK - GasK) * gasPart;
        SensorK += (GasK - SensorK) * sensorPart;
    }

    private static double PartOfAMinute(double lagMinutes)
    {
        return 1 - Math.Exp(-1 / lagMinutes);
    }
}
