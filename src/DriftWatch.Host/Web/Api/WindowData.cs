using DriftWatch.Host.Web.Vessels;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Web.Api;

/// <summary>A precharge window. Pressures are Pa absolute; uncertainties are standard uncertainties (k = 1).</summary>
internal sealed record WindowData
{
    public required string Id { get; init; }

    public required DateTimeOffset Start { get; init; }

    public required DateTimeOffset End { get; init; }

    public required int ReadingCount { get; init; }

    public required WindowEvidence Evidence { get; init; }

    public required WindowStanding Standing { get; init; }

    public required string Reason { get; init; }

    public required double MeanAbsolutePa { get; init; }

    public required double MeanTemperatureK { get; init; }

    /// <summary>Precharge at the reference temperature.</summary>
    public required double PrechargeAbsolutePa { get; init; }

    public required double RandomUncertaintyPa { get; init; }

    public required double SharedUncertaintyPa { get; init; }

    /// <summary>Parts of the combined variance, the greatest first; empty when they are not known.</summary>
    public required IReadOnlyList<UncertaintyShare> Shares { get; init; }

    /// <summary>What is left of the pressure's dependence on temperature; null when it was not put to the proof: the temperature hardly moved, noise hides it, or the rest was extrapolated.</summary>
    public required double? IsochoreSlopePaPerK { get; init; }

    /// <summary>Number of its trend segment; -1 for none.</summary>
    public required int Segment { get; init; }

    public static WindowData Of(PrechargeWindow window) => new()
    {
        Id = WindowId.Of(window),
        Start = window.Start,
        End = window.End,
        ReadingCount = window.ReadingCount,
        Evidence = window.Evidence,
        Standing = window.Standing,
        Reason = window.Reason,
        MeanAbsolutePa = window.MeanPressurePa,
        MeanTemperatureK = window.MeanTemperatureK,
        PrechargeAbsolutePa = window.PrechargePa,
        RandomUncertaintyPa = window.RandomUncertaintyPa,
        SharedUncertaintyPa = window.SharedUncertaintyPa,
        Shares = window.Shares.Greatest,
        IsochoreSlopePaPerK = double.IsFinite(window.IsochoreSlopePaPerK) ? window.IsochoreSlopePaPerK : null,
        Segment = window.Segment,
    };
}
