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
    private readonly Dictionary<string, FleetRow> _rows;
    private readonly VesselRegister _register;
    private volatile FleetSnapshot _snapshot;

    public FleetBoard(VesselRegister register, PlantStore store)
    {
        _register = register;
        _watch = new AssessmentWatch(store);
        _rows = register.Vessels.ToDictionary(vessel => vessel.Id, vessel => new FleetRow(vessel, null), StringComparer.Ordinal);
        _snapshot = new FleetSnapshot(_rows.Values);
        Refresh();
    }

    public FleetSnapshot Snapshot => _snapshot;

    /// <summary>Takes in what has changed; whether anything had.</summary>
    /// <exception cref="StoreUnavailableException">The snapshot stays as it is.</exception>
    public bool Refresh()
    {
        bool changed = false;
        foreach ((string id, Assessment assessment) in _watch.Look())
        {
            if (_register.Find(id) is { } vessel)
            {
                _rows[id] = new FleetRow(vessel, assessment);
                changed = true;
            }
        }

        if (changed)
        {
            _snapshot = new FleetSnapshot(_rows.Values);
        }

        return changed;
    }
}
