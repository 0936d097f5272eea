using DriftWatch.Charts.Sheets;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;

namespace DriftWatch.Host.Sheets;

/// <summary>Makes the sheets from what the store holds.</summary>
/// <param name="Register">The vessels.</param>
/// <param name="Store">What is known of them.</param>
/// <param name="Now">The time of day at the plant, UTC, for a vessel or plant without an assessment.</param>
/// <param name="Unit">Unit of pressures.</param>
internal sealed record SheetMaker(VesselRegister Register, PlantStore Store, DateTimeOffset Now, PressureUnit Unit)
{
    /// <summary>The sheet of a job; null when the store has no job of this key, or the register not its vessel.</summary>
    public Sheet? Job(string key)
    {
        // The vessel's id is the beginning of the key and holds no slash.
        string id = key.Split('/')[0];
        return Register.Find(id) is { } vessel && Store.LastNotices(id).FirstOrDefault(notice => notice.Job.Key == key)?.Job is { } job
            ? JobSheet.Write(vessel, job, Store.Windows(id), Store.LastAssessment(id), Unit)
            : null;
    }

    /// <summary>The record of a vessel; null when the register has none of this id.</summary>
    public Sheet? Vessel(string id) => Register.Find(id) is { } vessel
        ? VesselSheet.Write(vessel, Store.Windows(id), Store.LastAssessment(id), Jobs(id), Now, Unit)
        : null;

    /// <summary>The report of the fleet for a month; null for the month of the newest data.</summary>
    public Sheet Fleet((int Year, int Month)? month)
    {
        List<FleetLine> lines = [.. Register.Vessels.Select(vessel =>
            new FleetLine(vessel, Store.LastAssessment(vessel.Id), Store.Windows(vessel.Id), Jobs(vessel.Id)))];
        DateTimeOffset asOf = lines.Max(line => line.Assessment?.AsOf) ?? Now;
        (int year, int number) = month ?? (asOf.UtcDateTime.Year, asOf.UtcDateTime.Month);
        return FleetSheet.Write(Register.Plant, lines, year, number, asOf, Unit);
    }

    private List<SheetJob> Jobs(string id) => [.. Store.LastNotices(id).Select(notice =>
        notice.State == JobState.Open ? new SheetJob(notice.Job, null, null) : new SheetJob(notice.Job, notice.At, notice.End))];
}
