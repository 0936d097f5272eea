using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Records;
using DriftWatch.Trends.Inspection;

namespace DriftWatch.Plant.Register;

/// <summary>What is on record of a vessel up to a moment.</summary>
public static class VesselRecords
{
    /// <summary>The last recorded charge or bleed not after an instant; null for none.</summary>
    public static PrechargeCheck? LastCharge(Vessel vessel, DateTimeOffset asOf) => Last(vessel.RecordedCharges, charge => charge.At, asOf);

    /// <summary>The last change of a transducer on record not after an instant; null for none.</summary>
    public static DateTimeOffset? LastTransducerChange(Vessel vessel, DateTimeOffset asOf) => Last(vessel.TransducerChanges, at => at, asOf);

    /// <summary>The last recorded check not after an instant; null for none.</summary>
    public static PrechargeCheck? LastCheck(Vessel vessel, DateTimeOffset asOf) => Last(vessel.RecordedChecks, check => check.At, asOf);

    /// <summary>Instants of charges, checks, changes of transducers and answers, ascending.</summary>
    public static IReadOnlyList<DateTimeOffset> Instants(Vessel vessel) =>
        [.. vessel.RecordedCharges.Select(charge => charge.At).Concat(vessel.TransducerChanges).Concat(vessel.RecordedChecks.Select(check => check.At)).Concat(vessel.Answers.Select(answer => answer.At)).Distinct().Order()];

    /// <summary>The vessel with the work of a book beside that of the register file; void records do not count.</summary>
    public static Vessel WithWork(Vessel vessel, IEnumerable<WorkEntry> work)
    {
        WorkRecord[] counting = [.. work.Where(entry => entry.Counts).Select(entry => entry.Record)];
        return counting.Length == 0 ? vessel : vessel with
        {
            RecordedCharges = OneOfAMoment(With(vessel.RecordedCharges, counting, WorkKind.Charge)),
            TransducerChanges =
            [
                .. vessel.TransducerChanges.Concat(counting.Where(record => record.Kind == WorkKind.TransducerChange).Select(record => record.At))
                    .Distinct().Order(),
            ],
            RecordedChecks = With(vessel.RecordedChecks, counting, WorkKind.Check),
        };
    }

    /// <summary>The vessel with what queues have answered to its jobs.</summary>
    public static Vessel WithAnswers(Vessel vessel, IReadOnlyCollection<JobAnswer> answers) => answers.Count == 0 ? vessel : vessel with
    {
        Answers = [.. answers.OrderBy(answer => answer.At).ThenBy(answer => answer.Id, StringComparer.Ordinal)],
    };

    /// <summary>Whether two states of a vessel are the same in all that anything is made of.</summary>
    public static bool AreSame(Vessel one, Vessel other) =>
        one.Id == other.Id && one.Description == other.Description && one.Place == other.Place
        && one.Specification == other.Specification
        && one.RecordedCharges.SequenceEqual(other.RecordedCharges)
        && one.TransducerChanges.SequenceEqual(other.TransducerChanges)
        && one.RecordedChecks.SequenceEqual(other.RecordedChecks)
        && one.Calendar.PlannedStops.SequenceEqual(other.Calendar.PlannedStops)
        && one.Calendar.LeadTime == other.Calendar.LeadTime && one.Calendar.PrognosisShift == other.Calendar.PrognosisShift
        && one.Calendar.RaiseDeclinedAfter == other.Calendar.RaiseDeclinedAfter
        && one.Answers.SequenceEqual(other.Answers)
        && one.Sources.SequenceEqual(other.Sources);

    /// <summary>Of one moment there is one charge: the same one on record twice, of which that with values says more.</summary>
    internal static IReadOnlyList<PrechargeCheck> OneOfAMoment(IEnumerable<PrechargeCheck> charges) =>
        [.. charges.GroupBy(charge => charge.At).Select(same => same.MaxBy(charge => charge.Pressure?.Pascals)).OrderBy(charge => charge.At)];

    private static IReadOnlyList<PrechargeCheck> With(IReadOnlyList<PrechargeCheck> known, WorkRecord[] work, WorkKind kind) =>
    [
        .. known.Concat(work.Where(record => record.Kind == kind).Select(record => record.Seen))
            .Distinct()
            .OrderBy(seen => seen.At).ThenBy(seen => seen.Pressure?.Pascals).ThenBy(seen => seen.Temperature?.Kelvins),
    ];

    private static T? Last<T>(IReadOnlyList<T> records, Func<T, DateTimeOffset> at, DateTimeOffset asOf)
        where T : struct
    {
        for (int i = records.Count - 1; i >= 0; i--)
        {
            if (at(records[i]) <= asOf)
            {
                return records[i];
            }
        }

        return null;
    }
}
