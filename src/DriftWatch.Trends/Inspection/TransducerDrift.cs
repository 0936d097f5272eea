using System.Text.Json.Serialization;
using DriftWatch.Trends.Trend;

namespace DriftWatch.Trends.Inspection;

/// <summary>What checks by hand say of the drift of a transducer.</summary>
/// <param name="Count">Number of comparisons.</param>
/// <param name="RatePaPerSecond">Estimated drift of what it reads, Pa/s at the reference temperature; above 0 where it reads more and more too high. NaN without comparisons.</param>
/// <param name="RateUncertaintyPaPerSecond">Standard uncertainty of the rate, calibration of transducer and gauges included, Pa/s; infinite where nothing can be said.</param>
/// <param name="Last">When the last comparison was, UTC; null without one.</param>
/// <param name="ErrorPa">Disagreement at the last comparison, Pa: above 0 where the transducer reads too high.</param>
/// <param name="ErrorUncertaintyPa">Standard uncertainty of that disagreement were there no drift, Pa.</param>
/// <param name="Proven">When drift was proven, UTC: the first comparison at which the evidence passed its bound; null while it has not.</param>
/// <param name="Evidence">Greatest likelihood ratio so far of 'drifts' against 'holds', as natural logarithm.</param>
/// <param name="Bound">The bound of <paramref name="Evidence"/>: minus the logarithm of the false-alarm probability.</param>
public sealed record TransducerDrift(
    int Count,
    double RatePaPerSecond,
    double RateUncertaintyPaPerSecond,
    DateTimeOffset? Last,
    double ErrorPa,
    double ErrorUncertaintyPa,
    DateTimeOffset? Proven,
    double Evidence,
    double Bound)
{
    /// <summary>
    /// Whether the transducer is to be called drifting: drift was proven, and the last check did not find it right again within
    /// twice the uncertainty of the disagreement.
    /// </summary>
    [JsonIgnore]
    public bool IsDrifting => Proven is not null && Math.Abs(ErrorPa) > CoverageFactor.Expanded * ErrorUncertaintyPa;
}
