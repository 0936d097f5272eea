using DriftWatch.Plant.Jobs;
using DriftWatch.Storage.Tables;

namespace DriftWatch.Storage;

/// <summary>Jobs of all vessels at once.</summary>
public sealed partial class PlantStore
{
    /// <summary>Why jobs stand, and since when, by the id of their vessel.</summary>
    public ILookup<string, StandingCause> StandingCauses() => _database.Read(JobTable.StandingCauses);

    /// <summary>Ids of the vessels that have a job standing, whether or not it can be read.</summary>
    public IReadOnlyList<string> VesselsWithStandingJobs() => _database.Read(JobTable.VesselsWithStanding);
}
