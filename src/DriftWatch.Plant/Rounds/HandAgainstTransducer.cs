using DriftWatch.Gas.Uncertainty;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Rounds;

/// <summary>Sets the checks by hand of a vessel beside the windows of its transducer.</summary>
public static class HandAgainstTransducer
{
    /// <summary>How far check and window may lie apart: what may be lost meanwhile enters the uncertainty.</summary>
    private static readonly TimeSpan Reach = TimeSpan.FromDays(7);

    /// <summary>The comparisons, in order of time.</summary>
    /// <param name="vessel">The vessel with its checks.</param>
    /// <param name="windows">Its windows in order of time.</param>
    /// <param name="instruments">What is read with by hand.</param>
    /// <param name="gaugeAt">Id of the gauge of the check at an instant; empty where it is not on record.</param>
    /// <param name="asOf">Up to when, UTC.</param>
    public static IReadOnlyList<TransducerComparison> Compare(
        Vessel vessel, IReadOnlyList<PrechargeWindow> windows, HandInstruments instruments, Func<DateTimeOffset, string> gaugeAt, DateTimeOffset asOf)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(windows);
        ArgumentNullException.ThrowIfNull(instruments);
        ArgumentNullException.ThrowIfNull(gaugeAt);
        List<TransducerComparison> comparisons = [];
        foreach (PrechargeCheck check in vessel.RecordedChecks.Where(check => check.At <= asOf && check.Pressure is not null && check.Temperature is not null))
        {
            if (Nearest(vessel, windows, check.At) is { } window)
            {
                UncertaintyBudget hand = instruments.Budget(vessel.Specification, check.Pressure!.Value, check.Temperature!.Value);
                double between = vessel.Specification.AllowedLossPaPerSecond * (window.Middle - check.At).Duration().TotalSeconds;
                string gauge = gaugeAt(check.At);

                // An unknown gauge may be the same as at the last check or another: its calibration counts as both.
                double other = gauge.Length == 0 ? hand.SharedStandardUncertainty : 0;
                comparisons.Add(new TransducerComparison(
                    check.At,
                    window.PrechargePa - hand.Estimate,
                    Root(window.RandomUncertaintyPa, hand.RandomStandardUncertainty, between, other),
                    gauge,
                    hand.SharedStandardUncertainty));
            }
        }

        return comparisons;
    }

    /// <summary>What the comparisons say of the drift of the transducer.</summary>
    /// <inheritdoc cref="Compare"/>
    public static TransducerDrift Drift(
        Vessel vessel, IReadOnlyList<PrechargeWindow> windows, HandInstruments instruments, Func<DateTimeOffset, string> gaugeAt, DateTimeOffset asOf)
    {
        IReadOnlyList<TransducerComparison> comparisons = Compare(vessel, windows, instruments, gaugeAt, asOf);
        double shared = windows.LastOrDefault(window => window.Standing == WindowStanding.Accepted)?.SharedUncertaintyPa ?? 0;
        return TransducerDriftTest.Of(
            windows.Count > 0 ? windows[0].Start : asOf, comparisons, shared,
            vessel.Specification.AllowedLossPaPerSecond, vessel.Specification.FalseAlarmProbability);
    }

    /// <summary>The nearest accepted window in reach with no charge between it and the check; null for none.</summary>
    private static PrechargeWindow? Nearest(Vessel vessel, IReadOnlyList<PrechargeWindow> windows, DateTimeOffset at) => windows
        .Where(window => window.Standing == WindowStanding.Accepted && (window.Middle - at).Duration() <= Reach
            && !vessel.RecordedCharges.Any(charge => (charge > at) != (charge > window.Middle)))
        .MinBy(window => (window.Middle - at).Duration());

    private static double Root(params ReadOnlySpan<double> parts)
    {
        double sum = 0;
        foreach (double part in parts)
        {
            sum += part * part;
        }

        return Math.Sqrt(sum);
    }
}
