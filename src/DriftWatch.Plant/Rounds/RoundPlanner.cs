using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Trends.Faults;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Plant.Rounds;

/// <summary>
/// Which checks are due: the inspection ladder (<see cref="InspectionLadder"/>) over checks by hand and, while the transducers are
/// trusted, their windows. A vessel of which nothing was seen for too long is due at once. Single windows may climb the ladder on
/// a slow loss that only their trend shows: then the trend counts.
/// </summary>
public static class RoundPlanner
{
    /// <summary>When a vessel is due next.</summary>
    /// <param name="vessel">The vessel with its charges and checks.</param>
    /// <param name="windows">Its windows in order of time.</param>
    /// <param name="assessment">What is said of it; null for nothing yet.</param>
    /// <param name="standing">Its jobs that stand.</param>
    /// <param name="asOf">The moment, UTC.</param>
    public static RoundStop Of(
        Vessel vessel, IReadOnlyList<PrechargeWindow> windows, Assessment? assessment, IEnumerable<StandingCause> standing, DateTimeOffset asOf)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        return Of(vessel, Climb(vessel, windows, Trusts(assessment, standing), asOf), assessment, standing, asOf);
    }

    /// <summary>When a vessel is due next, from its place on the ladder.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="place">Its place, which must hold at the moment.</param>
    /// <param name="assessment">What is said of it; null for nothing yet.</param>
    /// <param name="standing">Its jobs that stand.</param>
    /// <param name="asOf">The moment, UTC.</param>
    public static RoundStop Of(
        Vessel vessel, LadderPlace place, Assessment? assessment, IEnumerable<StandingCause> standing, DateTimeOffset asOf)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(place);
        ArgumentNullException.ThrowIfNull(standing);
        (DateTimeOffset? byHand, DateTimeOffset? online, NextInspection next) = (place.ByHand, place.Online, place.Next);
        if (place.Start is null)
        {
            DueReason unseen = assessment?.LastWindow is not null && !Trusts(assessment, standing) ? DueReason.NotTrusted : DueReason.NeverSeen;
            return new RoundStop(vessel, FirstHeard(assessment, asOf), unseen, byHand, online);
        }

        if (Later(byHand, online) is { } last && asOf - last > vessel.Specification.LongestSilence && assessment is { Verdict: Verdict.NoWindowTooLong })
        {
            DateTimeOffset silent = last + vessel.Specification.LongestSilence;
            if (silent < next.Due)
            {
                return new RoundStop(vessel, silent, DueReason.Silent, byHand, online);
            }
        }

        if (!next.AfterLoss && SeenLosing(assessment, standing) is { } losing)
        {
            DateTimeOffset due = byHand is { } there && there + InspectionLadder.FirstCheck > losing ? there + InspectionLadder.FirstCheck : losing;
            if (due < next.Due)
            {
                return new RoundStop(vessel, due, DueReason.LossInTrend, byHand, online);
            }
        }

        DueReason reason = next.Rung switch
        {
            0 when next.AfterLoss => DueReason.AfterLoss,
            0 => VesselRecords.LastCharge(vessel, asOf) is null ? DueReason.AfterFirstSeen : DueReason.AfterCharge,
            1 => DueReason.FourMonths,
            _ => DueReason.SixMonths,
        };
        return new RoundStop(vessel, next.Due, reason, byHand, online);
    }

    /// <summary>
    /// Whether the windows of a vessel's transducers count as checks: not while one has a fault or is known to drift. A charge begins the
    /// evidence of a drift anew and mends no transducer: until its job has ended it is in doubt.
    /// </summary>
    /// <param name="assessment">What is said of the vessel; null for nothing yet.</param>
    /// <param name="standing">Its jobs that stand.</param>
    public static bool Trusts(Assessment? assessment, IEnumerable<StandingCause> standing) =>
        assessment?.Drift is not { IsDrifting: true } && !IsFaulty(assessment) && !standing.Any(job => job.Cause == JobCause.TransducerDrift);

    /// <summary>The place of a vessel on the ladder.</summary>
    /// <param name="vessel">The vessel with its charges and checks.</param>
    /// <param name="windows">Its windows in order of time; not looked at where its transducers are not trusted.</param>
    /// <param name="trusted">Whether they are.</param>
    /// <param name="asOf">The moment, UTC; what is later does not count yet.</param>
    public static LadderPlace Climb(Vessel vessel, IReadOnlyList<PrechargeWindow> windows, bool trusted, DateTimeOffset asOf)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentNullException.ThrowIfNull(windows);
        PrechargeWindow[] accepted = trusted ? [.. windows.Where(window => window.Standing == WindowStanding.Accepted)] : [];
        List<PrechargeCheck> seen = [.. Seen(vessel, accepted, asOf).OrderBy(check => check.At)];
        PrechargeCheck? lastCharge = VesselRecords.LastCharge(vessel, asOf);
        PrechargeCheck? start = lastCharge ?? (seen.Count > 0 ? seen[0] : null);
        IEnumerable<DateTimeOffset> later = VesselRecords.Instants(vessel).Concat(accepted.Select(window => window.End)).Where(at => at > asOf);
        return new LadderPlace(
            asOf,
            later.DefaultIfEmpty(DateTimeOffset.MaxValue).Min(),
            start,
            start is { } from ? InspectionLadder.After(vessel.Specification, from, seen) : default,
            Later(lastCharge?.At, VesselRecords.LastCheck(vessel, asOf)?.At),
            accepted.LastOrDefault()?.End);
    }

    /// <summary>The round: what is due up to a moment, place by place in the order of their names, in each the most overdue first.</summary>
    public static IReadOnlyList<(string Place, IReadOnlyList<RoundStop> Stops)> Route(IEnumerable<RoundStop> stops, DateTimeOffset until) =>
    [
        .. stops.Where(stop => stop.Due <= until)
            .GroupBy(stop => stop.Vessel.Place, StringComparer.Ordinal)
            .OrderBy(place => place.Key, StringComparer.Ordinal)
            .Select(place => (place.Key, (IReadOnlyList<RoundStop>)[.. place.OrderBy(stop => stop.Due).ThenBy(stop => stop.Vessel.Id, StringComparer.Ordinal)])),
    ];

    private static IEnumerable<PrechargeCheck> Seen(Vessel vessel, PrechargeWindow[] accepted, DateTimeOffset asOf)
    {
        double ambientPa = vessel.Specification.Ambient.Pascals;
        return accepted.Where(window => window.End <= asOf)
            .Select(window => new PrechargeCheck(
                window.End, GaugePressure.FromPascals(window.PrechargePa - ambientPa), vessel.Specification.ReferenceTemperature)
            {
                Transducer = 1 + vessel.TransducerChanges.Count(change => change <= window.Start),
            })
            .Concat(vessel.RecordedChecks.Where(check => check.At <= asOf));
    }

    /// <summary>From when on its readings are on hand: a due date that does not move with the moment at which it is asked for.</summary>
    private static DateTimeOffset FirstHeard(Assessment? assessment, DateTimeOffset asOf) =>
        assessment?.HeardLast is { } heard && heard > DateTimeOffset.MinValue && heard < asOf ? heard : asOf;

    /// <summary>
    /// Since when a trend that is trusted proves a loss, UTC: since its job was raised, a date that later windows do not put off, else
    /// the last window; null where there is none.
    /// </summary>
    private static DateTimeOffset? SeenLosing(Assessment? assessment, IEnumerable<StandingCause> standing) =>
        assessment is { Verdict: Verdict.FallingFasterThanAllowed or Verdict.BelowLowerLimit } && Trusts(assessment, standing)
            ? standing.Where(job => job.Cause is JobCause.FallingFasterThanAllowed or JobCause.BelowLowerLimit).Min(job => (DateTimeOffset?)job.Raised)
                ?? assessment.LastWindow
            : null;

    private static bool IsFaulty(Assessment? assessment) => assessment is not null && assessment.Faults.All.Any(fault =>
        fault.Signal is Signal.GasPressure or Signal.GasTemperature && fault.Status is Ne107Status.Failure or Ne107Status.FunctionCheck);

    private static DateTimeOffset? Later(DateTimeOffset? one, DateTimeOffset? other) => one is null || other > one ? other : one;
}
