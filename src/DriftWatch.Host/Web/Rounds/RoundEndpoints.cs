using System.Text;
using DriftWatch.Gas.Quantities;
using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Host.Web.People;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;
using Microsoft.AspNetCore.Antiforgery;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>The round of checks by hand, and what is recorded on it.</summary>
internal static class RoundEndpoints
{
    /// <summary>Checks on one page: more than anybody does on one round, and little enough for a slow network.</summary>
    private const int StopsOnPage = 50;

    public static void MapRounds(this IEndpointRouteBuilder routes)
    {
        RouteGroupBuilder pages = routes.MapGroup("").ExcludeFromDescription();
        pages.MapGet("/rounds", Round);
        pages.MapGet("/rounds/worker.js", Worker);
        pages.MapGet("/rounds/token", Token).RequireAuthorization(Policies.Technician);
        pages.MapPost("/rounds/checks", CheckAsync).RequireAuthorization(Policies.Technician);
        pages.MapPost("/vessels/{id}/charges", ChargeAsync).RequireAuthorization(Policies.Technician);
        pages.MapPost("/vessels/{id}/transducer-changes", TransducerChangeAsync).RequireAuthorization(Policies.Technician);
        pages.MapGet("/vessels/{id}/records/{record:guid}", Record);
        pages.MapPost("/vessels/{id}/records/{record:guid}/void", VoidAsync).RequireAuthorization(Policies.Technician);
    }

    private static RazorComponentResult Round(HttpContext context, Desk desk, FleetBoard fleet, RoundBoard rounds)
    {
        // A technician with a mistyped address still gets the round, and is told.
        Dictionary<string, string[]> faults = [];
        RoundQuery query = RoundQuery.Read(context, desk, faults);
        DateTimeOffset now = desk.Clock.Now;
        IReadOnlyList<RoundStop> stops = query.Select(desk, fleet, rounds, now);
        int last = Math.Max(1, (stops.Count + StopsOnPage - 1) / StopsOnPage);
        int number = Math.Min(last, ApiQuery.Whole(context, "page", 1, 1, int.MaxValue, faults));
        return PageEndpoints.Page<RoundsPage>(context, desk, new()
        {
            ["AsOf"] = now,
            ["Stops"] = stops.Skip((number - 1) * StopsOnPage).Take(StopsOnPage).ToList(),
            ["Total"] = stops.Count,
            ["Overdue"] = stops.Count(stop => stop.Due <= now),
            ["Number"] = number,
            ["Size"] = StopsOnPage,
            ["Query"] = query,
            ["Places"] = fleet.Snapshot.Places,
            ["MayRecord"] = context.Person() is { Role: >= Role.Technician },
            ["PersonName"] = context.Person()?.Name ?? "",
            ["Faults"] = faults.Select(fault => fault.Key == "days" ? $"Due within, days: {fault.Value[0]}" : fault.Value[0]).ToList(),
        });
    }

    /// <summary>The worker reaches over the round alone.</summary>
    private static ContentHttpResult Worker(HttpResponse response)
    {
        response.Headers["Service-Worker-Allowed"] = "/rounds";
        return TypedResults.Text(Encoding.UTF8.GetString(DeskFiles.Content("rounds-worker.js")), "text/javascript", Encoding.UTF8);
    }

    /// <summary>A form token for entries of a page that was kept longer than its own token.</summary>
    private static JsonHttpResult<FormToken> Token(HttpContext context, IAntiforgery antiforgery)
    {
        AntiforgeryTokenSet tokens = antiforgery.GetAndStoreTokens(context);
        return TypedResults.Json(new FormToken(tokens.FormFieldName, tokens.RequestToken ?? ""));
    }

    private static async Task<IResult> CheckAsync(HttpContext context, Desk desk, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        return Take(context, desk, form, WorkKind.Check, form["vessel"].ToString(), "/rounds");
    }

    private static async Task<IResult> ChargeAsync(string id, HttpContext context, Desk desk, CancellationToken stop) =>
        Take(context, desk, await context.Request.ReadFormAsync(stop), WorkKind.Charge, id, $"/vessels/{Uri.EscapeDataString(id)}/charging");

    private static async Task<IResult> TransducerChangeAsync(string id, HttpContext context, Desk desk, CancellationToken stop) =>
        Take(context, desk, await context.Request.ReadFormAsync(stop), WorkKind.TransducerChange, id, $"/vessels/{Uri.EscapeDataString(id)}");

    private static IResult Take(HttpContext context, Desk desk, IFormCollection form, WorkKind kind, string vesselId, string back)
    {
        bool forScripts = context.Request.Headers.Accept.ToString().Contains("application/json", StringComparison.OrdinalIgnoreCase);
        if (desk.Register.Find(vesselId) is not { } vessel)
        {
            return Refused(context, desk, forScripts, StatusCodes.Status400BadRequest, [$"The register has no vessel '{vesselId}'."], back);
        }

        List<string> misread = [];
        WorkRecord record = WorkForm.Read(form, kind, vessel.Id, context.Person()!.Name, desk.Clock.Now, misread);
        WorkAnswer answer = WorkActs.Record(context, desk, record, misread);
        return answer.Faults.Count > 0 ? Refused(context, desk, forScripts, answer.Status, answer.Faults, back)
            : forScripts ? TypedResults.Json(new WorkTaken(record.Id, answer.Outcome == WorkOutcome.Repeated ? "It was on record already." : "", []))
            : TypedResults.LocalRedirect(AddressOf(vessel.Id, record.Id));
    }

    /// <summary>Says that a record is wrong.</summary>
    private static async Task<IResult> VoidAsync(string id, Guid record, HttpContext context, Desk desk, CancellationToken stop)
    {
        if (desk.Register.Find(id) is null || WorkActs.Find(desk.Store, id, record) is null)
        {
            return TypedResults.NotFound();
        }

        IFormCollection form = await context.Request.ReadFormAsync(stop);
        WorkVoid wrong = new(
            Guid.TryParse(form["id"].ToString(), out Guid own) ? own : Guid.Empty, record, context.Person()!.Name, form["why"].ToString().Trim(), RecordSource.Page, desk.Clock.Now);
        WorkAnswer answer = WorkActs.Void(context, desk, id, wrong);
        return answer.Faults.Count > 0
            ? Refused(context, desk, forScripts: false, answer.Status, answer.Faults, AddressOf(id, record))
            : TypedResults.LocalRedirect(AddressOf(id, record));
    }

    private static string AddressOf(string vesselId, Guid record) => $"/vessels/{Uri.EscapeDataString(vesselId)}/records/{record}";

    private static IResult Refused(HttpContext context, Desk desk, bool forScripts, int status, IReadOnlyList<string> faults, string back)
    {
        faults = [.. faults.Select(WorkForm.ForReaders)];
        if (forScripts)
        {
            return TypedResults.Json(new WorkTaken(Guid.Empty, "", faults), statusCode: status);
        }

        context.Response.StatusCode = status;
        return PageEndpoints.Page<RefusedPage>(context, desk, new() { ["Faults"] = faults, ["Back"] = back });
    }

    private static IResult Record(string id, Guid record, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is not { } vessel
            || WorkActs.Find(desk.Store, id, record) is not { } entry)
        {
            return TypedResults.NotFound();
        }

        return PageEndpoints.Page<RecordPage>(context, desk, new()
        {
            ["Vessel"] = vessel,
            ["Entry"] = entry,
            ["Finding"] = Finding(vessel, entry.Record),
            ["MayVoid"] = entry.Counts && context.Person() is { Role: >= Role.Technician },
        });
    }

    /// <summary>What a record shows of the precharge; null where it has no values.</summary>
    public static CheckFinding? Finding(Vessel vessel, WorkRecord record)
    {
        if (record.GasPressureBarGauge is not { } bar || record.GasTemperatureCelsius is not { } celsius)
        {
            return null;
        }

        try
        {
            return CheckFinding.Of(
                vessel.Specification, GaugePressure.FromBar(bar), GasTemperature.FromDegreesCelsius(celsius), HandInstruments.Common);
        }
        catch (ArgumentOutOfRangeException)
        {
            // Together the values leave the range of the nitrogen equation: the record stands, nothing is said of it.
            return null;
        }
    }
}
