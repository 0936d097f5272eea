namespace DriftWatch.Host.Web.Fleet;

/// <summary>What a reader may sort the fleet by.</summary>
public enum FleetSort
{
    /// <summary>What needs a hand first.</summary>
    Urgency,

    /// <summary>Vessel id.</summary>
    Vessel,

    /// <summary>Precharge in % of nominal, lowest first.</summary>
    Precharge,

    /// <summary>Loss rate in % of the allowed one, greatest first.</summary>
    Loss,

    /// <summary>Earliest credible date at the lower limit, nearest first.</summary>
    Earliest,

    /// <summary>Share of the usable volume lost, greatest first.</summary>
    Volume,

    /// <summary>Age of the last window, oldest first.</summary>
    Age,
}
