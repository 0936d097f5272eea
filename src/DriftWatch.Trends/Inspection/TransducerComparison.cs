namespace DriftWatch.Trends.Inspection;

/// <summary>A check by hand beside what the transducer says of the same gas, both at the reference temperature.</summary>
/// <param name="At">When, UTC.</param>
/// <param name="DifferencePa">Precharge by the transducer minus precharge by hand, Pa.</param>
/// <param name="RandomUncertaintyPa">Standard uncertainty of the difference that is new with each check, Pa; above 0.</param>
/// <param name="GaugeId">Which gauge was read by hand; empty where that is not on record: then all such checks count as one gauge's.</param>
/// <param name="GaugeUncertaintyPa">Standard uncertainty of the calibration of that gauge, shared by all its checks, Pa; 0 or above.</param>
public readonly record struct TransducerComparison(
    DateTimeOffset At, double DifferencePa, double RandomUncertaintyPa, string GaugeId, double GaugeUncertaintyPa);
