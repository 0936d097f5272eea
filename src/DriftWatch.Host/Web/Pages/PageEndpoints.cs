using System.Text;
using DriftWatch.Charts;
using DriftWatch.Gas.Units;
using DriftWatch.Host.Web.Alarms;
using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.People;
using DriftWatch.Host.Web.Readers;
using DriftWatch.Host.Web.Vessels;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Pages;

/// <summary>The pages for people.</summary>
internal static class PageEndpoints
{
    private const int ChangesShown = 50;

    private static readonly TimeSpan ChoiceIsKept = TimeSpan.FromDays(365);

    public static void MapPages(this IEndpointRouteBuilder routes)
    {
        RouteGroupBuilder pages = routes.MapGroup("").ExcludeFromDescription();
        pages.MapGet("/", Fleet);
        pages.MapGet("/vessels.csv", Table);
        pages.MapGet("/vessels/{id}", Vessel);
        pages.MapGet("/vessels/{id}/trend.svg", Trend);
        pages.MapGet("/vessels/{id}/windows/{window}", WindowAsync);
        pages.MapPost("/unit", ChooseUnitAsync);
    }

    private static RazorComponentResult Fleet(HttpContext context, Desk desk, FleetBoard board)
    {
        // A reader with a mistyped address still gets the fleet, and is told.
        bool good = FleetQuery.TryRead(context.Request.Query, out FleetQuery? query, out Dictionary<string, string[]> faults);
        return Page<FleetPage>(context, desk, new()
        {
            ["Fleet"] = board.Snapshot,
            ["Query"] = good ? query : new FleetQuery(),
            ["Faults"] = faults.Values.SelectMany(fault => fault).ToList(),
        });
    }

    private static IResult Table(HttpContext context, FleetBoard board) =>
        FleetQuery.TryRead(context.Request.Query, out FleetQuery? query, out Dictionary<string, string[]> faults)
            ? TypedResults.File(Encoding.UTF8.GetBytes(FleetCsv.Write(query.Select(board.Snapshot))), "text/csv; charset=utf-8", "vessels.csv")
            : ApiQuery.Faulty(faults);

    private static IResult Vessel(string id, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is not { } vessel)
        {
            return TypedResults.NotFound();
        }

        Dictionary<string, string[]> faults = [];
        IReadOnlyList<PrechargeWindow> windows = desk.Store.Windows(id);
        Assessment? assessment = desk.Store.LastAssessment(id);
        return Page<VesselPage>(context, desk, new()
        {
            // Register and store know best: the fleet in memory may be a moment behind.
            ["Row"] = new FleetRow(vessel, assessment),
            ["Windows"] = windows,
            ["Jobs"] = desk.Store.OpenJobs(id).Select(job => JobLedger.AsOfNow(vessel, job, assessment)).ToList(),
            ["Work"] = desk.Store.WorkOf(id),
            ["History"] = desk.Store.Audit(id, ChangesShown),
            ["Alarms"] = AlarmEndpoints.Shown(desk.Store.Alarms(desk.Clock.Now, id)),
            ["Comparisons"] = Comparisons(vessel, windows, assessment),
            ["Span"] = SpanQuery.Read(context.Request.Query, faults),
            ["From"] = context.Request.Query["from"].FirstOrDefault() ?? "",
            ["To"] = context.Request.Query["to"].FirstOrDefault() ?? "",
            ["Faults"] = faults.Values.SelectMany(fault => fault).ToList(),
            ["WindowPage"] = int.TryParse(context.Request.Query["windows"].FirstOrDefault(), out int page) && page > 0 ? page : 1,
        });
    }

    /// <summary>Checks by hand beside the windows of the segment that the assessment speaks of.</summary>
    private static IReadOnlyList<TransducerComparison> Comparisons(Vessel vessel, IReadOnlyList<PrechargeWindow> windows, Assessment? assessment) =>
        assessment is { Drift: not null, Segment: { } segment }
            ? HandAgainstTransducer.Compare(
                vessel.Specification,
                HandReading.Of(vessel, HandInstruments.Common),
                [.. windows.Where(window => window.Standing == WindowStanding.Accepted && window.Segment == segment.Number)],
                segment,
                assessment.AsOf)
            : [];

    private static IResult Trend(string id, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is not { } vessel || desk.Store.LastAssessment(id) is not { } assessment)
        {
            return TypedResults.NotFound();
        }

        SpanQuery span = SpanQuery.Read(context.Request.Query, []);
        IReadOnlyList<TrendSegment> segments = assessment.Segment is { } segment ? [segment] : [];
        string svg = TrendChart.Render(
            vessel,
            [.. desk.Store.Windows(id).Where(window => span.Holds(window.Middle))],
            segments,
            assessment,
            new ChartStyle(1100, 560),
            ReaderFormat.Of(context.Request, desk.Unit).Unit).ToSvg();
        return TypedResults.Text(svg, "image/svg+xml", Encoding.UTF8);
    }

    private static async Task<IResult> WindowAsync(string id, string window, HttpContext context, Desk desk, CancellationToken stop)
    {
        if (desk.Register.Find(id) is not { } vessel)
        {
            return TypedResults.NotFound();
        }

        IReadOnlyList<PrechargeWindow> windows = desk.Store.Windows(id);
        return WindowId.Find(windows, window) is { } found
            ? Page<WindowPage>(context, desk, new()
            {
                ["Vessel"] = vessel,
                ["View"] = await WindowView.OpenAsync(desk.History, vessel, windows, found, stop),
            })
            : TypedResults.NotFound();
    }

    /// <summary>Keeps the reader's unit.</summary>
    private static async Task<IResult> ChooseUnitAsync(HttpContext context, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        string symbol = form["unit"].ToString();
        if (PressureUnit.All.Any(unit => unit.Symbol == symbol))
        {
            context.Response.Cookies.Append(ReaderFormat.UnitCookie, symbol, new CookieOptions
            {
                HttpOnly = true,
                SameSite = SameSiteMode.Strict,
                Secure = context.Request.IsHttps,
                MaxAge = ChoiceIsKept,
            });
        }

        return TypedResults.LocalRedirect(SignInEndpoints.Ours(form["back"]));
    }

    /// <summary>A page, with what all pages need: the desk, the reader's format, its own address.</summary>
    public static RazorComponentResult Page<TPage>(HttpContext context, Desk desk, Dictionary<string, object?> values)
        where TPage : Microsoft.AspNetCore.Components.IComponent
    {
        values["Desk"] = desk;
        values["Format"] = ReaderFormat.Of(context.Request, desk.Unit);
        values["Here"] = context.Request.Path + context.Request.QueryString;
        return new RazorComponentResult(typeof(TPage), values);
    }
}
