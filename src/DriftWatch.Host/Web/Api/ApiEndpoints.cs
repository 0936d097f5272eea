using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.Vessels;
using DriftWatch.Plant.Jobs;
using DriftWatch.Storage;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Windows;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Api;

/// <summary>The interface for programs: all that the pages show.</summary>
internal static class ApiEndpoints
{
    private const int GreatestWindowPage = 1000;

    private const int DefaultWindowPage = 100;

    private const int GreatestReadings = 10_000;

    private const int DefaultReadings = 1000;

    /// <summary>One instant holds at most as many readings as there are signals; a page must hold more.</summary>
    private const int LeastReadings = 10;

    private static readonly (string, string) From = ("from", "first day or RFC 3339 instant");

    private static readonly (string, string) To = ("to", "last day or RFC 3339 instant");

    public static void MapApi(this IEndpointRouteBuilder routes)
    {
        routes.MapOpenApi("/api/{documentName}/openapi.json");
        RouteGroupBuilder api = routes.MapGroup("/api/v1").WithTags("Reading");
        api.MapGet("/vessels", Vessels).WithName("listVessels")
            .WithSummary("Vessels, what needs a hand first")
            .Asks(
                ("q", "words in id, description and place"), ("verdict", "hand, or a verdict"), ("place", "a place"),
                ("sort", "urgency, vessel, precharge, loss, earliest or age"), ("group", "place, to keep places together"),
                ("page", "number of the page, from 1"), ("size", "most on a page, 1 to 500"))
            .Produces<Page<VesselData>>().ProducesValidationProblem();
        api.MapGet("/vessels/{id}", Vessel).WithName("getVessel").WithSummary("A vessel and what is said of it")
            .Produces<VesselData>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/trend", Trend).WithName("getTrend")
            .WithSummary("Points, fitted line, forecast, limits and charges").Asks(From, To)
            .Produces<TrendView>().ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/windows", Windows).WithName("listWindows")
            .WithSummary("Precharge windows, newest first").Asks(From, To, ("standing", "accepted, ambiguous or rejected"), ("page", "number of the page, from 1"), ("size", "most on a page, 1 to 1000"))
            .Produces<Page<WindowData>>().ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/windows/{window}", Window).WithName("getWindow").WithSummary("A precharge window")
            .Produces<WindowData>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/readings", ReadingsAsync).WithName("listReadings")
            .WithSummary("Raw readings in order of time").WithDescription("Go on with 'next' as from. 'note' says when a history could not be asked.")
            .Asks(From, To, ("limit", "most readings, 10 to 10000"))
            .Produces<ReadingPage>().ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/hours", Hours).WithName("listHours")
            .WithSummary("Readings by hour and signal where raw ones are past their retention, newest first").Asks(From, To, ("page", "number of the page, from 1"), ("size", "most on a page, 1 to 1000"))
            .Produces<Page<HourlyRollUp>>().ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/jobs", Jobs).WithName("listOpenJobs").WithSummary("Jobs that stand open")
            .Produces<IReadOnlyList<Job>>().ProducesProblem(StatusCodes.Status404NotFound);
    }

    private static IResult Vessels(HttpContext context, FleetBoard board)
    {
        if (!FleetQuery.TryRead(context.Request.Query, out FleetQuery? query, out Dictionary<string, string[]> faults))
        {
            return ApiQuery.Faulty(faults);
        }

        return new Tagged<Page<VesselData>>(ApiQuery.Cut(context, query.Select(board.Snapshot), query.Page, query.Size, VesselData.Of));
    }

    private static IResult Vessel(string id, FleetBoard board) =>
        board.Snapshot.Find(id) is { } row ? new Tagged<VesselData>(VesselData.Of(row)) : ApiQuery.UnknownVessel(id);

    private static IResult Trend(string id, HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        SpanQuery span = SpanQuery.Read(context.Request.Query, faults);
        return desk.Register.Find(id) is not { } vessel ? ApiQuery.UnknownVessel(id)
            : faults.Count > 0 ? ApiQuery.Faulty(faults)
            : new Tagged<TrendView>(TrendView.Compose(vessel, desk.Store.Windows(id), desk.Store.LastAssessment(id), span));
    }

    private static IResult Windows(string id, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is null)
        {
            return ApiQuery.UnknownVessel(id);
        }

        Dictionary<string, string[]> faults = [];
        SpanQuery span = SpanQuery.Read(context.Request.Query, faults);
        int number = ApiQuery.Whole(context, "page", 1, 1, int.MaxValue, faults);
        int size = ApiQuery.Whole(context, "size", DefaultWindowPage, 1, GreatestWindowPage, faults);
        string wanted = context.Request.Query["standing"].FirstOrDefault() ?? "";
        WindowStanding? standing = Enum.GetValues<WindowStanding>().Select(known => (WindowStanding?)known)
            .FirstOrDefault(known => string.Equals(known.ToString(), wanted, StringComparison.OrdinalIgnoreCase));
        if (wanted.Length > 0 && standing is null)
        {
            faults["standing"] = ["Give accepted, ambiguous or rejected, or leave it out."];
        }

        return faults.Count > 0
            ? ApiQuery.Faulty(faults)
            : new Tagged<Page<WindowData>>(ApiQuery.Cut(
                context,
                [.. desk.Store.Windows(id).Reverse().Where(window => span.Holds(window.Middle) && (standing is null || window.Standing == standing))],
                number,
                size,
                WindowData.Of));
    }

    private static IResult Window(string id, string window, Desk desk) =>
        desk.Register.Find(id) is null ? ApiQuery.UnknownVessel(id)
        : WindowId.Find(desk.Store.Windows(id), window) is { } found ? new Tagged<WindowData>(WindowData.Of(found))
        : TypedResults.Problem($"Vessel '{id}' has no window '{window}'. List them at /api/v1/vessels/{Uri.EscapeDataString(id)}/windows.", statusCode: StatusCodes.Status404NotFound, title: "No such window.");

    private static async Task<IResult> ReadingsAsync(string id, HttpContext context, Desk desk, CancellationToken stop)
    {
        Dictionary<string, string[]> faults = [];
        SpanQuery span = SpanQuery.Read(context.Request.Query, faults);
        int limit = ApiQuery.Whole(context, "limit", DefaultReadings, LeastReadings, GreatestReadings, faults);
        if (desk.Register.Find(id) is null)
        {
            return ApiQuery.UnknownVessel(id);
        }

        if (faults.Count > 0)
        {
            return ApiQuery.Faulty(faults);
        }

        (IReadOnlyList<Reading> found, string? note) = await desk.History.FirstAsync(
            id, span.From ?? DateTimeOffset.MinValue, span.To ?? DateTimeOffset.MaxValue, limit + 1, stop);

        // All readings of one instant stand on one page: the next begins with those of its first instant.
        DateTimeOffset? next = found.Count > limit ? found[limit].Instant : null;
        return new Tagged<ReadingPage>(new ReadingPage(
            [.. found.TakeWhile(reading => reading.Instant != next).Select(reading => new ReadingData(reading.Instant, reading.Signal, reading.Value))],
            next,
            note));
    }

    private static IResult Hours(string id, HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        SpanQuery span = SpanQuery.Read(context.Request.Query, faults);
        int number = ApiQuery.Whole(context, "page", 1, 1, int.MaxValue, faults);
        int size = ApiQuery.Whole(context, "size", DefaultWindowPage, 1, GreatestWindowPage, faults);
        return desk.Register.Find(id) is null ? ApiQuery.UnknownVessel(id)
            : faults.Count > 0 ? ApiQuery.Faulty(faults)
            : new Tagged<Page<HourlyRollUp>>(ApiQuery.Cut(
                context, [.. desk.Store.RollUps(id).Reverse().Where(hour => span.Holds(hour.Hour))], number, size, hour => hour));
    }

    private static IResult Jobs(string id, Desk desk) =>
        desk.Register.Find(id) is null ? ApiQuery.UnknownVessel(id) : new Tagged<IReadOnlyList<Job>>(desk.Store.OpenJobs(id));
}
