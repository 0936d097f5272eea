namespace DriftWatch.Plant.Register;

/// <summary>All vessels of a plant, in the order of the register file.</summary>
public sealed class VesselRegister
{
    private readonly Dictionary<string, Vessel> _byId;

    /// <summary>Holds the vessels given; their ids are unique (the reader of the register file has checked it).</summary>
    public VesselRegister(string plant, IReadOnlyList<Vessel> vessels, TopicTemplate? topicTemplate = null)
    {
        Plant = plant;
        Vessels = vessels;
        TopicTemplate = topicTemplate;
        _byId = vessels.ToDictionary(vessel => vessel.Id, StringComparer.Ordinal);
    }

    /// <summary>Name of the plant.</summary>
    public string Plant { get; }

    /// <summary>The vessels.</summary>
    public IReadOnlyList<Vessel> Vessels { get; }

    /// <summary>Topics of sensors that name none; null where each names its own.</summary>
    public TopicTemplate? TopicTemplate { get; }

    /// <summary>The vessel with this id, or null.</summary>
    public Vessel? Find(string id) => _byId.GetValueOrDefault(id);
}
