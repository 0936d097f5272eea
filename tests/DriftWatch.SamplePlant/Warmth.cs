namespace DriftWatch.SamplePlant;

/// <summary>Temperatures of shell, gas and sensor, each following the one before with a first-order lag; K.</summary>
public sealed class Warmth
{
    private readonly double _shellPart;
    private readonly double _gasPart;
    private readonly double _sensorPart;
    private double _shellK;

    /// <param name="script">Gives the lags.</param>
    /// <param name="startK">All begin at this temperature.</param>
    public Warmth(VesselScript script, double startK)
    {
        _shellPart = PartOfAMinute(script.ShellLagMinutes);
        _gasPart = PartOfAMinute(script.GasLagMinutes);
        _sensorPart = PartOfAMinute(script.TemperatureSensorLagMinutes);
        _shellK = startK;
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
        _shellK += (aroundK - _shellK) * _shellPart;
        GasK += (_shellK - GasK) * _gasPart;
        SensorK += (GasK - SensorK) * _sensorPart;
    }

    private static double PartOfAMinute(double lagMinutes)
    {
        return 1 - Math.Exp(-1 / lagMinutes);
    }
}
