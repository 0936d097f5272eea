namespace DriftWatch.SamplePlant;

/// <summary>The sensors of one vessel, each with the offset of its own specimen, and what sticks in them.</summary>
public sealed class Sensors
{
    private const double CelsiusZeroK = 273.15;
    private const double LineLossPa = 0.2e5;
    private readonly VesselScript script;
    private readonly Dice noise;
    private double? stuckC;

    /// <param name="script">Whose sensors.</param>
    /// <param name="calibration">Gives the offsets.</param>
    /// <param name="noise">Gives the noise.</param>
    public Sensors(VesselScript script, Dice calibration, Dice noise)
    {
        this.script = script;
        this.noise = noise;
        PressureOffsetBar = script.PressureSensor.Offset(calibration);
        TemperatureOffsetK = script.TemperatureSensor.Offset(calibration);
        FluidOffsetBar = script.FluidSensor?.Offset(calibration) ?? 0;
    }

    public double PressureOffsetBar { get; }

    public double TemperatureOffsetK { get; }

    public double FluidOffsetBar { get; }

    public LoggedReading Read(DateTimeOffset time, double gasPa, double airPa, double temperatureK, double fluidGaugePa, FluidState state)
    {
        double shownPa = script.AbsolutePressureSensor ? gasPa : gasPa - airPa;
        double pressureBar = script.PressureSensor.Show(shownPa / 1e5, PressureOffsetBar, noise);
        double temperatureC = script.TemperatureSensor.Show(temperatureK - CelsiusZeroK, TemperatureOffsetK, noise);
        if (time >= script.TemperatureStuckFrom)
        {
            stuckC ??= temperatureC;
            temperatureC = stuckC.Value;
        }

        // The fluid sensor sits some metres of pipe away.
        double pipePa = state == FluidState.Working ? LineLossPa * noise.Normal() : 0;
        double? fluidBar = script.FluidSensor?.Show((fluidGaugePa + pipePa) / 1e5, FluidOffsetBar, noise);
        return new LoggedReading(
            time, pressureBar, temperatureC, fluidBar, script.HasReleasedContact ? state == FluidState.Released : null);
    }
}
