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
    internal static RoundQuery Read(HttpContext context, Desk desk, Dictionary<string, string[]> faults)
    {
        // A vessel or place that the register lacks has no check that is due: to say so would sound like good news.
        string place = context.Request.Query["place"].FirstOrDefault() ?? "";
        if (place.Length > 0 && !desk.Register.Vessels.Any(vessel => vessel.Place == place))
        {
            faults["place"] = [$"No vessel of the register stands at '{place}'."];
            place = "";
        }

        string vessel = context.Request.Query["vessel"].FirstOrDefault() ?? "";
        if (vessel.Length > 0 && desk.Register.Find(vessel) is null)
        {
            faults["vessel"] = [$"The register has no vessel '{vessel}'."];
            vessel = "";
        }

        return new(place, vessel, ApiQuery.Whole(context, "days", UsualDays, 0, MostDays, faults));
    }

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
