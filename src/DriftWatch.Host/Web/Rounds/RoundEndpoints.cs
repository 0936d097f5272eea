using System.Globalization;
using System.Text;
using DriftWatch.Gas.Quantities;
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
    private const int DefaultDays = 14;

    private const int MostDays = 400;

    /// <summary>How far two times of one work may lie apart: a wrong clock is set right anew with each sending.</summary>
    private static readonly TimeSpan SameWork = TimeSpan.FromMinutes(10);

    public static void MapRounds(this IEndpointRouteBuilder routes)
    {
        RouteGroupBuilder pages = routes.MapGroup("").ExcludeFromDescription();
        pages.MapGet("/rounds", Round);
        pages.MapGet("/rounds/worker.js", Worker);
        pages.MapGet("/rounds/token", Token).RequireAuthorization(Policies.Technician);
        pages.MapPost("/rounds/checks", CheckAsync).RequireAuthorization(Policies.Technician);
        pages.MapPost("/vessels/{id}/charges", ChargeAsync).RequireAuthorization(Policies.Technician);
        pages.MapGet("/vessels/{id}/records/{record:guid}", Record);
    }

    private static RazorComponentResult Round(HttpContext context, Desk desk)
    {
        IQueryCollection query = context.Request.Query;
        List<string> faults = [];
        string text = query["days"].FirstOrDefault() ?? "";
        int days = DefaultDays;
        if (text.Length > 0 && !(int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out days) && days <= MostDays))
        {
            faults.Add($"'{text}' for the days cannot be used: give a whole number from 0 to {MostDays}.");
            days = DefaultDays;
        }

        string place = query["place"].FirstOrDefault() ?? "";
        string only = query["vessel"].FirstOrDefault() ?? "";
        DateTimeOffset now = desk.Clock.Now;
        IReadOnlyList<Vessel> vessels = desk.Register.Vessels;
        IEnumerable<RoundStop> stops = vessels
            .Where(vessel => only.Length > 0 ? vessel.Id == only : place.Length == 0 || vessel.Place == place)
            .Select(vessel => Stop(desk, vessel, now));
        return PageEndpoints.Page<RoundsPage>(context, desk, new()
        {
            ["AsOf"] = now,

            // Who names a vessel wants its form, due or not.
            ["Route"] = RoundPlanner.Route(stops, only.Length > 0 ? DateTimeOffset.MaxValue : now.AddDays(days)),
            ["Places"] = (IReadOnlyList<string>)[.. vessels.Select(vessel => vessel.Place).Distinct(StringComparer.Ordinal).Order(StringComparer.Ordinal)],
            ["Place"] = place,
            ["Days"] = days,
            ["MayRecord"] = context.Person() is { Role: >= Role.Technician },
            ["PersonName"] = context.Person()?.Name ?? "",
            ["Faults"] = faults,
        });
    }

    private static RoundStop Stop(Desk desk, Vessel vessel, DateTimeOffset now) =>
        RoundPlanner.Of(vessel, desk.Store.Windows(vessel.Id), desk.Store.LastAssessment(vessel.Id), now);

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

    private static IResult Take(HttpContext context, Desk desk, IFormCollection form, WorkKind kind, string vesselId, string back)
    {
        bool forScripts = context.Request.Headers.Accept.ToString().Contains("application/json", StringComparison.OrdinalIgnoreCase);
        if (desk.Register.Find(vesselId) is not { } vessel)
        {
            return Refused(context, desk, forScripts, StatusCodes.Status400BadRequest, [$"The register has no vessel '{vesselId}'."], back);
        }

        List<string> faults = [];
        WorkRecord record = WorkForm.Read(form, kind, vessel.Id, context.Person()!.Name, desk.Clock.Now, faults);
        if (faults.Count > 0)
        {
            return Refused(context, desk, forScripts, StatusCodes.Status400BadRequest, faults, back);
        }

        WorkOutcome outcome = desk.Vessels.Record(record);
        if (outcome == WorkOutcome.IdUsed && IsSameWork(desk, record))
        {
            outcome = WorkOutcome.Repeated;
        }

        if (outcome == WorkOutcome.IdUsed)
        {
            return Refused(
                context, desk, forScripts, StatusCodes.Status409Conflict,
                ["Another record has the id of this one, with other values: it was changed after it was sent. Look at the record; enter this one anew if it is another check."], back);
        }

        if (outcome == WorkOutcome.Recorded)
        {
            desk.Store.Record(context.Entry(kind == WorkKind.Charge ? "charge recorded" : "check recorded", vessel.Id, after: record.Id.ToString()));
        }

        return forScripts
            ? TypedResults.Json(new WorkTaken(record.Id, outcome == WorkOutcome.Repeated ? "It was on record already." : "", []))
            : TypedResults.LocalRedirect($"/vessels/{Uri.EscapeDataString(vessel.Id)}/records/{record.Id}");
    }

    private static bool IsSameWork(Desk desk, WorkRecord record) =>
        desk.Store.WorkOf(record.VesselId).FirstOrDefault(entry => entry.Record.Id == record.Id) is { } known
        && (known.Record.At - record.At).Duration() <= SameWork
        && known.Record.SaysTheSameAs(record with { At = known.Record.At });

    private static IResult Refused(HttpContext context, Desk desk, bool forScripts, int status, IReadOnlyList<string> faults, string back)
    {
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
            || desk.Store.WorkOf(id).FirstOrDefault(entry => entry.Record.Id == record) is not { } entry)
        {
            return TypedResults.NotFound();
        }

        return PageEndpoints.Page<RecordPage>(context, desk, new()
        {
            ["Vessel"] = vessel,
            ["Entry"] = entry,
            ["Finding"] = Finding(vessel, entry.Record),
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
