using DriftWatch.Host.Web.People;
using DriftWatch.Plant.Records;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>What people put on record of their work, from pages and from programs alike: checked, recorded, and written into the audit log.</summary>
internal static class WorkActs
{
    /// <summary>How far two times of one work may lie apart on a device: a wrong clock is set right anew with each sending.</summary>
    private static readonly TimeSpan SameWork = TimeSpan.FromMinutes(10);

    /// <summary>A record of this id; null for none.</summary>
    public static WorkEntry? Find(PlantStore store, string vesselId, Guid id) => store.WorkOf(vesselId).FirstOrDefault(entry => entry.Record.Id == id);

    /// <summary>Records work.</summary>
    /// <param name="context">The request.</param>
    /// <param name="desk">The desk.</param>
    /// <param name="work">The work, of a vessel of the register.</param>
    /// <param name="misread">What could not be read of it, a line each; with any nothing is recorded.</param>
    public static WorkAnswer Record(HttpContext context, Desk desk, WorkRecord work, IReadOnlyList<string> misread)
    {
        string[] faults = [.. misread, .. work.Faults()];
        if (faults.Length > 0)
        {
            return new WorkAnswer(null, faults);
        }

        WorkOutcome outcome = desk.Vessels.Record(work);
        if (outcome == WorkOutcome.IdUsed && work.Source == RecordSource.Page && IsSameWork(desk, work))
        {
            outcome = WorkOutcome.Repeated;
        }

        return Answer(context, desk, outcome, RoundTexts.Recorded(work.Kind), work.VesselId, work.Id.ToString());
    }

    /// <summary>Makes a record void.</summary>
    /// <param name="context">The request.</param>
    /// <param name="desk">The desk.</param>
    /// <param name="vesselId">The vessel of the record.</param>
    /// <param name="voiding">What makes it void.</param>
    public static WorkAnswer Void(HttpContext context, Desk desk, string vesselId, WorkVoid voiding) => voiding.Faults() is { Count: > 0 } faults
        ? new WorkAnswer(null, faults)
        : Answer(context, desk, desk.Vessels.Void(voiding), "record voided", vesselId, $"{voiding.RecordId}: {voiding.Why}");

    private static WorkAnswer Answer(HttpContext context, Desk desk, WorkOutcome outcome, string what, string vesselId, string after)
    {
        if (outcome == WorkOutcome.Recorded)
        {
            desk.Store.Record(context.Entry(what, vesselId, after: after));
        }

        return new WorkAnswer(outcome, outcome switch
        {
            WorkOutcome.IdUsed => ["Something else is on record under the id of this one, with other values. A record is never changed: look at it; if this is other work, enter it anew under an id of its own."],
            WorkOutcome.VoidAlready => ["The record is void already: look at it to see by whom and why."],
            WorkOutcome.NoSuchRecord => ["There is no such record."],
            _ => [],
        });
    }

    private static bool IsSameWork(Desk desk, WorkRecord work) =>
        Find(desk.Store, work.VesselId, work.Id) is { } known
        && (known.Record.At - work.At).Duration() <= SameWork
        && known.Record.SaysTheSameAs(work with { At = known.Record.At });
}
