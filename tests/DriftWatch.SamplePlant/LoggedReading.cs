namespace DriftWatch.SamplePlant;

/// <summary>One row of the logger.</summary>
/// <param name="Time">Instant of the sample, UTC.</param>
/// <param name="GasPressureBar">What the gas-side pressure sensor shows, bar; gauge or absolute as the register says.</param>
/// <param name="GasTemperatureC">What the gas-side temperature sensor shows, degrees Celsius.</param>
/// <param name="FluidPressureBarGauge">What the fluid-side sensor shows, bar gauge; null where there is none.</param>
/// <param name="Released">The 'depressurised' contact; null where there is none.</param>
public readonly record struct LoggedReading(
    DateTimeOffset Time, double GasPressureBar, double GasTemperatureC, double? FluidPressureBarGauge, bool? Released);
