using DriftWatch.Plant.Priorities;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Web.Fleet;

/// <summary>The whole fleet at one moment, in order of urgency. Nothing in it changes.</summary>
public sealed class FleetSnapshot
{
    private readonly Dictionary<string, FleetRow> _byId;

    public FleetSnapshot(IEnumerable<FleetRow> rows)
    {
        ByUrgency = [.. Urgency.MostUrgentFirst(rows, row => row.Vessel, row => row.Assessment)];
        _byId = ByUrgency.ToDictionary(row => row.Vessel.Id, StringComparer.Ordinal);
        Counts = ByUrgency.GroupBy(row => row.Verdict).ToDictionary(group => group.Key, group => group.Count());
        Places = [.. ByUrgency.Select(row => row.Vessel.Place).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)];
        NeedAHand = ByUrgency.Count(row => row.NeedsAHand);
        Newest = ByUrgency.Max(row => row.Assessment?.AsOf);
    }

    public IReadOnlyList<FleetRow> ByUrgency { get; }

    public IReadOnlyDictionary<Verdict, int> Counts { get; }

    public IReadOnlyList<string> Places { get; }

    public int NeedAHand { get; }

    /// <summary>Moment of the newest assessment, UTC.</summary>
    public DateTimeOffset? Newest { get; }

    /// <summary>The vessel of this id; null when the register has none.</summary>
    public FleetRow? Find(string id) => _byId.GetValueOrDefault(id);
}
