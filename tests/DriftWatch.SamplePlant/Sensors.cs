namespace DriftWatch.SamplePlant;

/// <summary>The sensors of one vessel, each with the offset of its own specimen, and what sticks in them.</summary>
public sealed class Sensors
{
    private const double CelsiusZeroK = 273.15;
    private const double LineLossPa = 0.2e5;
    private readonly VesselScript _script;
    private readonly Dice _noise;
    private double? _stuckC;

    /// <param name="script">Whose sensors.</param>
    /// <param name="calibration">Gives the offsets.</param>
    /// <param name="noise">Gives the noise.</param>
    public Sensors(VesselScript script, Dice calibration, Dice noise)
    {
        _script = script;
        _noise = noise;
        PressureOffsetBar = _script.PressureSensor.Offset(calibration);
        TemperatureOffsetK = _script.TemperatureSensor.Offset(calibration);
        FluidOffsetBar = _script.FluidSensor?.Offset(calibration) ?? 0;
    }

    public double PressureOffsetBar { get; }

    public double TemperatureOffsetK { get; }

    public double FluidOffsetBar { get; }

    public LoggedReading Read(DateTimeOffset time, double gasPa, double airPa, double temperatureK, double fluidGaugePa, FluidState state)
    {
        double shownPa = _script.AbsolutePressureSensor ? gasPa : gasPa - airPa;
        double pressureBar = _script.PressureSensor.Show(shownPa / 1e5, PressureOffsetBar, _noise);
        double temperatureC = _script.TemperatureSensor.Show(temperatureK - CelsiusZeroK, TemperatureOffsetK, _noise);
        if (time >= _script.TemperatureStuckFrom)
        {
            _stuckC ??= temperatureC;
            temperatureC = _stuckC.Value;
        }

        // The fluid sensor sits some metres of pipe away.
        double pipePa = state == FluidState.Working ? LineLossPa * _noise.Normal() : 0;
        double? fluidBar = _script.FluidSensor?.Show((fluidGaugePa + pipePa) / 1e5, FluidOffsetBar, _noise);
        return new LoggedReading(
            time, pressureBar, temperatureC, fluidBar, _script.HasReleasedContact ? state == FluidState.Released : null);
    }
}
