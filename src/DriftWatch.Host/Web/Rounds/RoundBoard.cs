using System.Runtime.CompilerServices;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Storage;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>
/// When each vessel is due, remembered: its place on the ladder is found anew only when its windows, its records or the trust in
/// its transducers have changed, so that a round costs two small queries however many windows there are.
/// </summary>
internal sealed class RoundBoard(PlantStore store)
{
    private readonly ConditionalWeakTable<Vessel, Known> _known = [];
    private long _vesselsRead;

    /// <summary>Of how many vessels the windows were read so far.</summary>
    public long VesselsRead => Interlocked.Read(ref _vesselsRead);

    /// <summary>When vessels are due.</summary>
    /// <param name="vessels">The vessels.</param>
    /// <param name="assessmentOf">What is said of one; null for nothing yet.</param>
    /// <param name="asOf">The moment, UTC.</param>
    public IEnumerable<RoundStop> Stops(IEnumerable<Vessel> vessels, Func<string, Assessment?> assessmentOf, DateTimeOffset asOf)
    {
        IReadOnlyDictionary<string, long> changes = store.WindowChanges();
        ILookup<string, StandingCause> jobs = store.StandingCauses();
        foreach (Vessel vessel in vessels)
        {
            Assessment? assessment = assessmentOf(vessel.Id);
            IEnumerable<StandingCause> standing = jobs[vessel.Id];
            LadderPlace place = Place(vessel, RoundPlanner.Trusts(assessment, standing), changes.GetValueOrDefault(vessel.Id), asOf);
            yield return RoundPlanner.Of(vessel, place, assessment, standing, asOf);
        }
    }

    /// <summary>Finds the places of vessels that have changed before anybody asks, so that nobody waits for it; some at a time.</summary>
    /// <param name="vessels">The vessels.</param>
    /// <param name="assessmentOf">What is said of one; null for nothing yet.</param>
    /// <param name="asOf">The moment, UTC.</param>
    /// <param name="most">Windows are read of so many vessels at most.</param>
    public void Refresh(IEnumerable<Vessel> vessels, Func<string, Assessment?> assessmentOf, DateTimeOffset asOf, int most)
    {
        long end = VesselsRead + most;
        _ = Stops(vessels, assessmentOf, asOf).TakeWhile(_ => VesselsRead < end).Count();
    }

    private LadderPlace Place(Vessel vessel, bool trusted, long changes, DateTimeOffset asOf)
    {
        if (_known.TryGetValue(vessel, out Known? known) && known.Trusted == trusted && known.Changes == changes && known.Place.HoldsAt(asOf))
        {
            return known.Place;
        }

        // The count was read before the windows: one that came between is read again the next time, and none is missed.
        // What was seen before the last charge says nothing of the ladder.
        DateTimeOffset since = VesselRecords.LastCharge(vessel, asOf)?.At ?? DateTimeOffset.MinValue;
        LadderPlace place = RoundPlanner.Climb(vessel, trusted ? store.WindowsSince(vessel.Id, since) : [], trusted, asOf);
        _known.AddOrUpdate(vessel, new Known(trusted, changes, place));
        _ = Interlocked.Increment(ref _vesselsRead);
        return place;
    }

    private sealed record Known(bool Trusted, long Changes, LadderPlace Place);
}
