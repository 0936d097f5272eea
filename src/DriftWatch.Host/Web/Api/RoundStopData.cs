using DriftWatch.Plant.Rounds;

namespace DriftWatch.Host.Web.Api;

/// <summary>A check that is due, for programs.</summary>
internal sealed record RoundStopData(string VesselId, string Place, DateTimeOffset Due, DueReason Reason, DateTimeOffset? LastByHand, DateTimeOffset? LastWindow)
{
    public static RoundStopData Of(RoundStop stop) => new(stop.Vessel.Id, stop.Vessel.Place, stop.Due, stop.Reason, stop.ByHand, stop.Online);
}
