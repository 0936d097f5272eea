using DriftWatch.Charts.Sheets;
using DriftWatch.Gas.Units;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Sheets;

/// <summary>Makes the sheets from what the store holds.</summary>
/// <param name="Register">The vessels.</param>
/// <param name="Store">What is known of them.</param>
/// <param name="Now">The time of day at the plant, UTC, for a vessel or plant without an assessment.</param>
/// <param name="Unit">Unit of pressures.</param>
internal sealed record SheetMaker(VesselRegister Register, PlantStore Store, DateTimeOffset Now, PressureUnit Unit)
{
    /// <summary>The sheet of a job, standing or ended; null when the store has no job of this key, or the register not its vessel.</summary>
    public Sheet? Job(string key)
    {
        // The vessel's id is the beginning of the key and holds no slash.
        string id = key.Split('/')[0];
        return Register.Find(id) is { } vessel && Store.LastNotices(id).FirstOrDefault(notice => notice.Job.Key == key) is { } last
            ? JobSheet.Write(vessel, last, Store.Windows(id), Store.LastAssessment(id), Unit)
            : null;
    }

    /// <summary>The record of a vessel; null when the register has none of this id.</summary>
    public Sheet? Vessel(string id) => Register.Find(id) is { } vessel
        ? VesselSheet.Write(vessel, Store.Windows(id), Store.LastAssessment(id), Jobs(id), Now, Unit)
        : null;

    /// <summary>The report of the fleet for a month; null when the register has no vessel in the place.</summary>
    /// <param name="month">The month; null for that of the newest data.</param>
    /// <param name="place">The vessels of this place only; empty for all.</param>
    public Sheet? Fleet((int Year, int Month)? month, string place = "")
    {
        Vessel[] vessels = [.. Register.Vessels.Where(vessel => place.Length == 0 || vessel.Place == place)];
        if (vessels.Length == 0 && place.Length > 0)
        {
            return null;
        }

        IReadOnlyDictionary<string, Assessment> assessments = Store.LastAssessments();
        DateTimeOffset asOf = vessels.Max(vessel => assessments.GetValueOrDefault(vessel.Id)?.AsOf) ?? Now;
        (int year, int number) = month ?? (asOf.UtcDateTime.Year, asOf.UtcDateTime.Month);
        (DateTimeOffset from, DateTimeOffset to) = FleetSheet.Span(year, number);
        ILookup<string, SheetJob> jobs = Store.Jobs(from, to).ToLookup(job => job.Job.VesselId, job => new SheetJob(job.Job, job.Closed, job.End), StringComparer.Ordinal);
        IReadOnlyList<FleetLine> lines = FleetSheet.Order(vessels.Select(vessel => new FleetLine(vessel, assessments.GetValueOrDefault(vessel.Id), [], [.. jobs[vessel.Id]])));

        // Windows are many: those of vessels that are only counted are not read.
        IReadOnlyList<FleetLine> listed = [.. lines.Take(FleetSheet.MostListed)];
        IEnumerable<FleetLine> withWindows = listed.Zip(
            Store.Windows(listed.Select(line => line.Vessel.Id), from, to), (line, windows) => line with { Windows = windows });
        return FleetSheet.Write(
            place.Length == 0 ? Register.Plant : $"{Register.Plant}, {place}", [.. withWindows, .. lines.Skip(listed.Count)], year, number, asOf, Unit);
    }

    private List<SheetJob> Jobs(string id) => [.. Store.LastNotices(id).Select(notice =>
        notice.State == JobState.Open ? new SheetJob(notice.Job, null, null) : new SheetJob(notice.Job, notice.At, notice.End))];
}
