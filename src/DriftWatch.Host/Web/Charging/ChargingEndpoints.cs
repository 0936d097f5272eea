using System.Globalization;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.People;
using DriftWatch.Host.Web.Readers;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Register;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Charging;

/// <summary>The charge help, for people and for programs.</summary>
internal static class ChargingEndpoints
{
    public static void MapCharging(this IEndpointRouteBuilder routes)
    {
        routes.MapGet("/vessels/{id}/charging", Page).ExcludeFromDescription();
        routes.MapGet("/api/v1/vessels/{id}/charging", Data).WithTags("Reading").WithName("getCharging")
            .WithSummary("How to bring the vessel to its nominal precharge at today's gas temperature")
            .Asks(
                ("gas", "gas temperature, °C; required"), ("now", "gauge pressure now, Pa; by the trend, or the check by hand that found the level, where left out"), ("litres", "volume of one bottle"),
                ("bottle", "its gauge pressure at 15 °C, Pa"), ("minutes", "of the filling"),
                ("separator", "'sound' once somebody has looked at it: where nearly all gas is gone there is no plan for filling before"))
            .Produces<ChargingData>().ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
    }

    private static IResult Page(string id, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is not { } vessel)
        {
            return TypedResults.NotFound();
        }

        ReaderFormat format = ReaderFormat.Of(context.Request, desk.Unit);
        Dictionary<string, string[]> faults = [];
        ChargeAnswer? answer = null;
        PressureUnit read = ChargeQuery.UnitOf(context.Request.Query, format.Unit, faults);
        if (ChargeQuery.Read(context.Request.Query, read, faults) is { } query)
        {
            answer = Answer(desk, vessel, query, read, faults);
        }

        return new RazorComponentResult(typeof(ChargingPage), new Dictionary<string, object?>
        {
            ["Desk"] = desk,
            ["Format"] = format,
            ["Here"] = context.Request.Path + WithUnit(context.Request, read),
            ["Vessel"] = vessel,
            ["Asked"] = context.Request.Query.ToDictionary(pair => pair.Key, pair => pair.Value.ToString(), StringComparer.Ordinal),
            ["ReadIn"] = read,
            ["Answer"] = answer,
            ["Faults"] = faults,
            ["MayRecord"] = context.Person() is { Role: >= Role.Technician },
            ["PersonName"] = context.Person()?.Name ?? "",
        });
    }

    /// <summary>What was asked, with the unit of its pressures: whoever comes back with another unit still means the same ones.</summary>
    private static QueryString WithUnit(HttpRequest request, PressureUnit read) =>
        request.Query.Count == 0 || request.Query.ContainsKey(ChargeQuery.UnitField)
            ? request.QueryString
            : request.QueryString.Add(ChargeQuery.UnitField, read.Symbol);

    private static IResult Data(string id, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is not { } vessel)
        {
            return ApiQuery.UnknownVessel(id);
        }

        Dictionary<string, string[]> faults = [];
        ChargeQuery? query = ChargeQuery.Read(context.Request.Query, PressureUnit.Pascal, faults);
        if (query is null && faults.Count == 0)
        {
            faults["gas"] = ["Give the gas temperature in °C."];
        }

        return query is not null && Answer(desk, vessel, query, PressureUnit.Pascal, faults) is { } answer
            ? new Tagged<ChargingData>(ChargingData.Of(vessel, answer))
            : ApiQuery.Faulty(faults);
    }

    private static ChargeAnswer? Answer(Desk desk, Vessel vessel, ChargeQuery query, PressureUnit unit, Dictionary<string, string[]> faults)
    {
        try
        {
            return ChargeAnswer.Of(vessel, desk.Store.LastAssessment(vessel.Id), query);
        }
        catch (OutsideNitrogenRangeException)
        {
            // Each value is good alone; together they leave the range of the nitrogen equation.
            faults["gas"] =
            [
                string.Create(
                    CultureInfo.InvariantCulture,
                    $"At {query.Gas.DegreesCelsius:0.##} °C the precharge of this vessel, or what its gauge shows, lies beyond {NitrogenRange.HighestPressurePa / unit.PascalsPerUnit:0.##} {unit.Symbol} absolute, up to which the nitrogen equation is used here. Check what was read; if it is right, let the gas come nearer to its reference temperature of {vessel.Specification.ReferenceTemperature.DegreesCelsius:0.##} °C."),
            ];
            return null;
        }
    }
}
