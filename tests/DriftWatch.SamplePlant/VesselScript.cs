namespace DriftWatch.SamplePlant;

/// <summary>One vessel with everything that will happen to it.</summary>
public sealed record VesselScript
{
    public required string Id { get; init; }

    public required string Description { get; init; }

    public required string Place { get; init; }

    /// <summary>The planted condition in a word or two, for the truth file.</summary>
    public required string Kind { get; init; }

    public required VesselType Type { get; init; }

    public required double GasVolumeLitres { get; init; }

    /// <summary>Nominal precharge at 20 degrees Celsius, bar gauge.</summary>
    public required double NominalBarGauge { get; init; }

    public required double LowerLimitBarGauge { get; init; }

    public required double UpperLimitBarGauge { get; init; }

    /// <summary>Allowed loss, percent of the nominal absolute precharge a month; null where it is given in bar.</summary>
    public double? AllowedPercentPerMonth { get; init; }

    /// <summary>Allowed loss, bar a month; null where it is given in percent.</summary>
    public double? AllowedBarPerMonth { get; init; }

    public required double P1BarGauge { get; init; }

    public required double P2BarGauge { get; init; }

    /// <summary>Height above sea level, metres.</summary>
    public double AltitudeMetres { get; init; }

    /// <summary>Whether the register states the barometric pressure instead of the altitude.</summary>
    public bool StatesBarometer { get; init; }

    public required Climate Climate { get; init; }

    public required ShiftPattern Shifts { get; init; }

    public required Logging Logging { get; init; }

    /// <summary>Whether the gas pressure sensor shows absolute pressure; else gauge.</summary>
    public bool AbsolutePressureSensor { get; init; }

    public required Transducer PressureSensor { get; init; }

    public Transducer TemperatureSensor { get; init; } = new(-40, 125, 0.5, 0.06, 0.1);

    /// <summary>Lag of the temperature sensor behind the gas, minutes.</summary>
    public double TemperatureSensorLagMinutes { get; init; } = 3;

    /// <summary>Fluid-side sensor; null where there is none.</summary>
    public Transducer? FluidSensor { get; init; }

    public bool HasReleasedContact { get; init; }

    public DateTimeOffset Start { get; init; } = Plant.Start;

    public DateTimeOffset End { get; init; } = Plant.End;

    /// <summary>True precharge at <see cref="Start"/>, bar gauge at reference temperature.</summary>
    public required double StartBarGauge { get; init; }

    public IReadOnlyList<Leak> Leaks { get; init; } = [];

    public IReadOnlyList<Recharge> Recharges { get; init; } = [];

    public DateTimeOffset? BurstAt { get; init; }

    /// <summary>Fluid that gets past the seal into the gas side and stays there, litres a month.</summary>
    public double IngressLitresPerMonth { get; init; }

    /// <summary>Share of the releases, 0 to 1, that leave fluid in the vessel.</summary>
    public double TrappedShare { get; init; }

    public DateTimeOffset? NeverReleasedFrom { get; init; }

    public DateTimeOffset? TemperatureStuckFrom { get; init; }

    public Gap? Gap { get; init; }

    /// <summary>Standard deviation of the difference between sensor and mean of the gas that each stretch has anew, kelvin.</summary>
    public double PlacementErrorK { get; init; }

    /// <summary>When another specimen of the gas pressure sensor comes in, and by how much it shows more, bar.</summary>
    public SensorSwap? PressureSwap { get; init; }

    /// <summary>Slow drift of the gas pressure sensor, bar a month from the start on.</summary>
    public double PressureDriftBarPerMonth { get; init; }

    /// <summary>Noise that comes on top of the gas pressure, standard deviation, bar.</summary>
    public double ExtraPressureNoiseBar { get; init; }

    /// <summary>Share of the rows that are lost on their way, 0 to 1.</summary>
    public double LostShare { get; init; }

    /// <summary>What the gas pressure is multiplied by before it is logged: 14.5038 for psi under the name of bar.</summary>
    public double PressureUnitFactor { get; init; } = 1;

    /// <summary>When the logger's clock is set back, and by how much; the hours before it are logged a second time.</summary>
    public ClockSetBack? ClockSetBack { get; init; }

    /// <summary>Hours by which the clock of the fluid-side signals goes after the logger's.</summary>
    public double FluidClockLateHours { get; init; }

    public required Verdict ExpectedVerdict { get; init; }

    /// <summary>Mean barometric pressure at the vessel, Pa (standard atmosphere, ISO 2533).</summary>
    public double BarometricPa => 101325 * Math.Pow(1 - (2.25577e-5 * AltitudeMetres), 5.25588);

    /// <summary>Time constant with which the gas follows the shell, minutes: 10 for the smallest to 40 for the largest vessel.</summary>
    public double GasLagMinutes => 10 + (30 * Math.Log(GasVolumeLitres / 0.7) / Math.Log(200 / 0.7));

    /// <summary>Time constant with which the shell follows the air, minutes.</summary>
    public double ShellLagMinutes => 3 * GasLagMinutes;
}
