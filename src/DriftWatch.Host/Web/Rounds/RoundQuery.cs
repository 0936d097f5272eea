using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>Which checks of the round are asked for.</summary>
/// <param name="Place">Of this place only; empty for every place.</param>
/// <param name="Vessel">Of this vessel only, due or not; empty for all.</param>
/// <param name="Days">Due within so many days.</param>
public sealed record RoundQuery(string Place, string Vessel, int Days)
{
    public const int UsualDays = 14;

    public const int MostDays = 400;

    /// <summary>Reads a query; what cannot be used is told, and taken as left out.</summary>
    public static RoundQuery Read(HttpContext context, Dictionary<string, string[]> faults) => new(
        context.Request.Query["place"].FirstOrDefault() ?? "",
        context.Request.Query["vessel"].FirstOrDefault() ?? "",
        ApiQuery.Whole(context, "days", UsualDays, 0, MostDays, faults));

    /// <summary>The checks in the order of the route: place by place, in each the most overdue first.</summary>
    internal IReadOnlyList<RoundStop> Select(Desk desk, FleetBoard fleet, RoundBoard rounds, DateTimeOffset now)
    {
        // Of one vessel the store knows best: the fleet in memory may be a moment behind.
        IEnumerable<Vessel> vessels = Vessel.Length > 0
            ? desk.Register.Find(Vessel) is { } one ? [one] : []
            : desk.Register.Vessels.Where(vessel => Place.Length == 0 || vessel.Place == Place);
        FleetSnapshot snapshot = fleet.Snapshot;
        IEnumerable<RoundStop> stops = rounds.Stops(vessels, id => Vessel.Length > 0 ? desk.Store.LastAssessment(id) : snapshot.Find(id)?.Assessment, now);
        return [.. RoundPlanner.Route(stops, Vessel.Length > 0 ? DateTimeOffset.MaxValue : now.AddDays(Days)).SelectMany(place => place.Stops)];
    }

    /// <summary>The address of one page of it.</summary>
    public string Address(int page)
    {
        IEnumerable<KeyValuePair<string, string?>> all =
        [
            new("place", Place), new("vessel", Vessel),
            new("days", Days == UsualDays ? "" : Days.ToString(System.Globalization.CultureInfo.InvariantCulture)),
            new("page", page == 1 ? "" : page.ToString(System.Globalization.CultureInfo.InvariantCulture)),
        ];
        return "/rounds" + QueryString.Create(all.Where(pair => pair.Value is { Length: > 0 }));
    }
}
