namespace DriftWatch.Trends.Windows;

/// <summary>A stretch of readings at rest, what it shows of the precharge, and what became of it.</summary>
public sealed record PrechargeWindow
{
    /// <summary>First settled reading, UTC. With the vessel it identifies the window.</summary>
    public required DateTimeOffset Start { get; init; }

    /// <summary>Last settled reading, UTC.</summary>
    public required DateTimeOffset End { get; init; }

    /// <summary>Number of settled gas-pressure readings, at least 1.</summary>
    public required int ReadingCount { get; init; }

    /// <summary>What shows that the fluid side was released.</summary>
    public required WindowEvidence Evidence { get; init; }

    /// <summary>Mean gas pressure over the settled readings, Pa absolute.</summary>
    public required double MeanPressurePa { get; init; }

    /// <summary>Mean gas temperature over the settled readings, K.</summary>
    public required double MeanTemperatureK { get; init; }

    /// <summary>Precharge: pressure of the same gas amount at the reference temperature, Pa absolute.</summary>
    public required double PrechargePa { get; init; }

    /// <summary>Standard uncertainty of <see cref="PrechargePa"/> that is new with each window, Pa.</summary>
    public required double RandomUncertaintyPa { get; init; }

    /// <summary>Standard uncertainty of <see cref="PrechargePa"/> shared by all windows of these sensors, Pa.</summary>
    public required double SharedUncertaintyPa { get; init; }

    /// <summary>
    /// Isochore proof: slope of the normalised pressure against temperature inside the window, Pa/K; 0 when the gas
    /// moved along one line of constant density. NaN when the temperature hardly moved.
    /// </summary>
    public required double IsochoreSlopePaPerK { get; init; }

    /// <summary>Number of the rest it lies in: windows that were only cut by length share it.</summary>
    public required long Rest { get; init; }

    /// <summary>What became of the window.</summary>
    public required WindowStanding Standing { get; init; }

    /// <summary>Why, in words for the reader; empty for a plain accepted window.</summary>
    public string Reason { get; init; } = "";

    /// <summary>Number of the trend segment it belongs to, from 0; -1 while it belongs to none.</summary>
    public int Segment { get; init; } = -1;

    /// <summary>The moment the window stands for: its middle.</summary>
    public DateTimeOffset Middle => Start + ((End - Start) / 2);
}
