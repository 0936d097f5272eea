using DriftWatch.Gas.Quantities;

namespace DriftWatch.Trends.Vessels;

/// <summary>What must be known of a vessel to judge its precharge. Built by the register, which checks it.</summary>
public sealed record VesselSpecification
{
    /// <summary>How gas and fluid are kept apart.</summary>
    public required VesselType Type { get; init; }

    /// <summary>Gas volume V0 of the vessel with the fluid side empty; gas bottles that stay connected to its gas side are part of it.</summary>
    public required GasVolume GasVolume { get; init; }

    /// <summary>The temperature at which precharge and limits are stated.</summary>
    public required GasTemperature ReferenceTemperature { get; init; }

    /// <summary>The precharge the vessel should have, at the reference temperature.</summary>
    public required GaugePressure NominalPrecharge { get; init; }

    /// <summary>Lower precharge limit at the reference temperature; below the nominal.</summary>
    public required GaugePressure LowerLimit { get; init; }

    /// <summary>Upper precharge limit at the reference temperature; above the nominal.</summary>
    public required GaugePressure UpperLimit { get; init; }

    /// <summary>Greatest loss of precharge (at the reference temperature) that is allowed, Pa/s; above 0.</summary>
    public required double AllowedLossPaPerSecond { get; init; }

    /// <summary>Lowest working pressure p1, where known.</summary>
    public GaugePressure? LowestWorkingPressure { get; init; }

    /// <summary>Highest working pressure p2, where known.</summary>
    public GaugePressure? HighestWorkingPressure { get; init; }

    /// <summary>Pressure of the surrounding air at the vessel.</summary>
    public required AbsolutePressure Ambient { get; init; }

    /// <summary>The gas-side pressure transducer.</summary>
    public required PressureSensor GasPressureSensor { get; init; }

    /// <summary>The gas temperature transducer.</summary>
    public required TemperatureSensor GasTemperatureSensor { get; init; }

    /// <summary>
    /// By how much a gas pressure may be older than the instant it bears, as where a message's arrival is taken for its time;
    /// 0 (the default) or more.
    /// </summary>
    public TimeSpan PressureLateness { get; init; }

    /// <summary>By how much a gas temperature may be older than the instant it bears; 0 (the default) or more.</summary>
    public TimeSpan TemperatureLateness { get; init; }

    /// <summary>The fluid-side pressure transducer, where there is one.</summary>
    public PressureSensor? FluidPressureSensor { get; init; }

    /// <summary>Whether a contact tells that the fluid side is released.</summary>
    public bool HasDepressurisedContact { get; init; }

    /// <summary>How long the vessel may go without a precharge window before its condition counts as unknown.</summary>
    public TimeSpan LongestSilence { get; init; } = TimeSpan.FromDays(30);

    /// <summary>
    /// Greatest probability, over the whole life of the vessel, that a vessel losing gas at exactly the allowed rate
    /// is ever called 'falling faster than allowed'; above 0, below 0.5.
    /// </summary>
    public double FalseAlarmProbability { get; init; } = 0.01;
}
