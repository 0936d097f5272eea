using DriftWatch.Host.Web.Fleet;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Host.Web.Api;

/// <summary>A vessel and what is said of it. Precharge and limits hold at the reference temperature.</summary>
internal sealed record VesselData
{
    public required string Id { get; init; }

    public required string Description { get; init; }

    public required string Place { get; init; }

    public required VesselType Type { get; init; }

    public required double GasVolumeM3 { get; init; }

    public required double ReferenceTemperatureK { get; init; }

    public required double AmbientPa { get; init; }

    public required double NominalGaugePa { get; init; }

    public required double LowerLimitGaugePa { get; init; }

    public required double UpperLimitGaugePa { get; init; }

    public required double AllowedLossPaPerSecond { get; init; }

    /// <summary>The verdict; it holds for <see cref="AsOf"/>.</summary>
    public required Verdict Verdict { get; init; }

    /// <summary>Moment of the verdict, UTC; null before the first reading.</summary>
    public required DateTimeOffset? AsOf { get; init; }

    public required string Reason { get; init; }

    /// <summary>A fault of a transducer or of the data; empty for none.</summary>
    public required string DataFault { get; init; }

    public required bool NeedsAHand { get; init; }

    public required double? PrechargeGaugePa { get; init; }

    /// <summary>Expanded uncertainty of the precharge, k = 2, Pa.</summary>
    public required double? PrechargeExpandedUncertaintyPa { get; init; }

    public required double? PrechargePercentOfNominal { get; init; }

    /// <summary>Loss rate, positive for a loss; null with fewer than three points.</summary>
    public required double? LossPaPerSecond { get; init; }

    /// <summary>Half-width of its 95 % interval.</summary>
    public required double? LossHalfWidth95PaPerSecond { get; init; }

    /// <summary>Earliest credible moment at the lower limit, UTC.</summary>
    public required DateTimeOffset? EarliestAtLowerLimit { get; init; }

    /// <summary>By when a recharge is recommended, UTC: a week before the earliest credible moment at the lower limit, the moment of the assessment for a vessel below it; null when none is foreseen or it is above its upper limit.</summary>
    public required DateTimeOffset? RecommendedRecharge { get; init; }

    /// <summary>Usable fluid volume between the working pressures lost against the nominal precharge; null without working pressures.</summary>
    public required double? LostUsableVolumeM3 { get; init; }

    /// <summary>The same, percent of the nominal usable volume.</summary>
    public required double? LostUsableVolumePercent { get; init; }

    /// <summary>The same with the precharge at its lower limit, percent.</summary>
    public required double? LostUsableVolumeAtLowerLimitPercent { get; init; }

    public required DateTimeOffset? LastWindow { get; init; }

    /// <summary>When a check by hand found the precharge, where it is that of a check and not of the windows; else null.</summary>
    public required DateTimeOffset? FoundByHand { get; init; }

    public static VesselData Of(FleetRow row)
    {
        VesselSpecification specification = row.Vessel.Specification;
        return new VesselData
        {
            Id = row.Vessel.Id,
            Description = row.Vessel.Description,
            Place = row.Vessel.Place,
            Type = specification.Type,
            GasVolumeM3 = specification.GasVolume.CubicMetres,
            ReferenceTemperatureK = specification.ReferenceTemperature.Kelvins,
            AmbientPa = specification.Ambient.Pascals,
            NominalGaugePa = specification.NominalPrecharge.Pascals,
            LowerLimitGaugePa = specification.LowerLimit.Pascals,
            UpperLimitGaugePa = specification.UpperLimit.Pascals,
            AllowedLossPaPerSecond = specification.AllowedLossPaPerSecond,
            Verdict = row.Verdict,
            AsOf = row.Assessment?.AsOf,
            Reason = row.Assessment?.Reason ?? "",
            DataFault = row.Assessment?.DataFault ?? "",
            NeedsAHand = row.NeedsAHand,
            PrechargeGaugePa = row.GaugePa,
            PrechargeExpandedUncertaintyPa = row.GaugeHalfPa,
            PrechargePercentOfNominal = row.PercentOfNominal,
            LossPaPerSecond = row.LossPaPerMonth / LossRate.SecondsPerMonth,
            LossHalfWidth95PaPerSecond = row.LossHalfPaPerMonth is { } half && double.IsFinite(half) ? half / LossRate.SecondsPerMonth : null,
            EarliestAtLowerLimit = row.Earliest,
            RecommendedRecharge = row.RecommendedRecharge,
            LostUsableVolumeM3 = row.LostUsableVolume?.Litres / 1000,
            LostUsableVolumePercent = 100 * row.LostUsableVolume?.Share,
            LostUsableVolumeAtLowerLimitPercent = 100 * row.LossAtLowerLimit?.Share,
            LastWindow = row.LastWindow,
            FoundByHand = row.Assessment?.FoundByHand,
        };
    }
}
