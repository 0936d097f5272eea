using System.Text.Json.Serialization;

namespace DriftWatch.Trends.Windows;

/// <summary>A stretch of readings at rest, what it shows of the precharge, and what became of it.</summary>
public sealed record PrechargeWindow
{
    internal const string NotSettled = "The gas had not settled by the end of the rest.";

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

    /// <summary>What limits the answer: the share of each contributor in the combined variance.</summary>
    public UncertaintyShares Shares { get; init; } = UncertaintyShares.None;

    /// <summary>What the lag of the temperature sensor was corrected by, within <see cref="PrechargePa"/>, to 1 Pa; 0 for nothing.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public double LagCorrectionPa { get; init; }

    /// <summary>How far <see cref="PrechargePa"/> lies beyond the last reading of a rest too short to settle, to 1 Pa; 0 for a settled one.</summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public double ExtrapolatedPa { get; init; }

    /// <summary>
    /// Whether the normalised pressure still fell evenly at the end of the rest, long after the gas had come to its temperature:
    /// the window is the end of that fall, and proves nothing but a loss.
    /// </summary>
    [JsonIgnore(Condition = JsonIgnoreCondition.WhenWritingDefault)]
    public bool Falls { get; init; }

    /// <summary>
    /// Isochore proof: slope of the normalised pressure against temperature inside the window, Pa/K; 0 when the gas
    /// moved along one line of constant density. NaN when the temperature hardly moved, when noise hides the slope, or when the
    /// rest was extrapolated or falls.
    /// </summary>
    public required double IsochoreSlopePaPerK { get; init; }

    /// <summary>Whether the isochore was put to the proof and held; where it was not, the temperature is taken on trust.</summary>
    [JsonIgnore]
    public bool IsProvenByIsochore => Standing != WindowStanding.Rejected && double.IsFinite(IsochoreSlopePaPerK);

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
