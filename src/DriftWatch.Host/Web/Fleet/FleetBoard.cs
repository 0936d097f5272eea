using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Web.Fleet;

/// <summary>
/// The fleet in memory, so that a page of it costs no query however many vessels there are. One caller refreshes; readers take
/// the snapshot that stands.
/// </summary>
internal sealed class FleetBoard
{
    private readonly AssessmentWatch _watch;
    private readonly Dictionary<string, Assessment> _assessments = new(StringComparer.Ordinal);
    private readonly LiveRegister _register;
    private Dictionary<string, FleetRow> _rows = new(StringComparer.Ordinal);
    private VesselRegister _seen;
    private volatile FleetSnapshot _snapshot;

    public FleetBoard(LiveRegister register, PlantStore store)
    {
        _register = register;
        _seen = register.Current;
        _watch = new AssessmentWatch(store);
        _snapshot = Taken();
        Refresh();
    }

    public FleetSnapshot Snapshot => _snapshot;

    /// <summary>Takes in what has changed; whether anything had.</summary>
    /// <exception cref="StoreUnavailableException">The snapshot stays as it is.</exception>
    public bool Refresh()
    {
        VesselRegister register = _register.Current;
        bool changed = !ReferenceEquals(register, _seen);
        foreach ((string id, Assessment assessment) in _watch.Look())
        {
            _assessments[id] = assessment;
            changed |= register.Find(id) is not null;
        }

        if (changed)
        {
            _seen = register;
            _snapshot = Taken();
        }

        return changed;
    }

    private FleetSnapshot Taken()
    {
        Dictionary<string, FleetRow> rows = new(StringComparer.Ordinal);
        foreach (Vessel vessel in _seen.Vessels)
        {
            Assessment? assessment = _assessments.GetValueOrDefault(vessel.Id);
            rows[vessel.Id] = _rows.TryGetValue(vessel.Id, out FleetRow? row) && ReferenceEquals(row.Vessel, vessel) && ReferenceEquals(row.Assessment, assessment)
                ? row
                : new FleetRow(vessel, assessment);
        }

        _rows = rows;
        return new FleetSnapshot(rows.Values);
    }
}
