using DriftWatch.Plant.Advice;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Prognosis;
using DriftWatch.Trends.Trend;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Web.Fleet;

/// <summary>One vessel as the fleet is sorted and searched by.</summary>
public sealed class FleetRow
{
    public FleetRow(Vessel vessel, Assessment? assessment)
    {
        Vessel = vessel;
        Assessment = assessment;
        Verdict = assessment?.Verdict ?? Verdict.NotKnownYet;
        SearchText = $"{vessel.Id}\n{vessel.Description}\n{vessel.Place}".ToUpperInvariant();
        double nominalPa = vessel.Specification.NominalPrecharge.Pascals;
        if (assessment is { PrechargePa: { } prechargePa, PrechargeUncertaintyPa: { } uncertaintyPa })
        {
            GaugePa = prechargePa - vessel.Specification.Ambient.Pascals;
            GaugeHalfPa = CoverageFactor.Expanded * uncertaintyPa;
            PercentOfNominal = 100 * GaugePa / nominalPa;
            PercentHalf = 100 * GaugeHalfPa / nominalPa;
        }

        if (assessment?.Fit is { } fit)
        {
            LossPaPerMonth = -fit.SlopeNowPaPerSecond() * LossRate.SecondsPerMonth;
            LossHalfPaPerMonth = fit.SlopeNowHalfWidthPaPerSecond() * LossRate.SecondsPerMonth;
            Earliest = assessment.Forecast?.Earliest;
        }

        // Without a rate only a level below the limit asks for a recharge.
        RecommendedRecharge = assessment is not null && (LossPaPerMonth is not null || Verdict == Verdict.BelowLowerLimit)
            ? RechargeAdvice.By(assessment)
            : null;
    }

    public Vessel Vessel { get; }

    /// <summary>The last assessment; null before the first.</summary>
    public Assessment? Assessment { get; }

    public Verdict Verdict { get; }

    /// <summary>Whether it asks for work, now or by a date: then the cautions belong to it.</summary>
    public bool AsksForWork => NeedsAHand || RecommendedRecharge is not null;

    public bool NeedsAHand => VerdictNames.NeedsAHand(Verdict);

    /// <summary>Precharge, Pa gauge; null where neither a window nor a check has shown one.</summary>
    public double? GaugePa { get; }

    /// <summary>Half-width of its interval (k = 2), Pa.</summary>
    public double? GaugeHalfPa { get; }

    /// <summary>Precharge in % of the nominal, gauge over gauge.</summary>
    public double? PercentOfNominal { get; }

    public double? PercentHalf { get; }

    /// <summary>Loss, Pa a month; null with fewer than three points.</summary>
    public double? LossPaPerMonth { get; }

    /// <summary>Half-width of its 95 % interval, Pa a month.</summary>
    public double? LossHalfPaPerMonth { get; }

    public double AllowedPaPerMonth => Vessel.Specification.AllowedLossPaPerSecond * LossRate.SecondsPerMonth;

    /// <summary>Earliest credible crossing of the lower limit, UTC.</summary>
    public DateTimeOffset? Earliest { get; }

    /// <summary>By when a recharge is recommended, UTC; null when no date is foreseen, or it is to be bled.</summary>
    public DateTimeOffset? RecommendedRecharge { get; }

    /// <summary>Usable volume lost now; null when a working pressure or the precharge is not known.</summary>
    public UsableVolumeLoss? LostUsableVolume => Assessment?.LostUsableVolume;

    /// <summary>Usable volume lost with the precharge at its lower limit; null when a working pressure is not known.</summary>
    public UsableVolumeLoss? LossAtLowerLimit => Assessment?.Forecast?.LossAtCrossing;

    public DateTimeOffset? LastWindow => Assessment?.LastWindow;

    /// <summary>Upper-case text that a search looks in.</summary>
    public string SearchText { get; }
}
