using System.Globalization;
using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.Vessels;
using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Readings;
using DriftWatch.Trends.Windows;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
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

    public static void MapApi(this IEndpointRouteBuilder routes)
    {
        routes.MapOpenApi("/api/{documentName}/openapi.json");
        RouteGroupBuilder api = routes.MapGroup("/api/v1").WithTags("Reading");
        api.MapGet("/vessels", Vessels).WithName("listVessels")
            .WithSummary("Vessels, what needs a hand first")
            .WithDescription("Query: q (words in id, description, place), verdict (hand or a verdict), place, sort (urgency, vessel, precharge, loss, earliest, age), group (place), page, size (1 to 500).")
            .Produces<Page<VesselData>>().ProducesValidationProblem();
        api.MapGet("/vessels/{id}", Vessel).WithName("getVessel").WithSummary("A vessel and what is said of it")
            .Produces<VesselData>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/trend", Trend).WithName("getTrend")
            .WithSummary("Points, fitted line, forecast, limits and charges").WithDescription("Query: from, to (day or RFC 3339 instant).")
            .Produces<TrendView>().ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/windows", Windows).WithName("listWindows")
            .WithSummary("Precharge windows, newest first").WithDescription("Query: from, to, standing (accepted, ambiguous, rejected), page, size (1 to 1000).")
            .Produces<Page<WindowData>>().ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/windows/{window}", Window).WithName("getWindow").WithSummary("A precharge window")
            .Produces<WindowData>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/readings", ReadingsAsync).WithName("listReadings")
            .WithSummary("Raw readings in order of time").WithDescription("Query: from, to, limit (10 to 10000). Go on with 'next' as from. 'note' says when a history could not be asked.")
            .Produces<ReadingPage>().ProducesValidationProblem().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/jobs", Jobs).WithName("listOpenJobs").WithSummary("Jobs that stand open")
            .Produces<IReadOnlyList<Job>>().ProducesProblem(StatusCodes.Status404NotFound);
    }

    /// <summary>Cuts a page out of a list and tells where the next and the previous one are.</summary>
    private static Page<T> Cut<T>(HttpContext context, IReadOnlyList<T> all, int number, int size)
    {
        long first = (long)(number - 1) * size;
        List<string> links = [];
        if (number > 1)
        {
            links.Add($"<{At(number - 1)}>; rel=\"prev\"");
        }

        if (first + size < all.Count)
        {
            links.Add($"<{At(number + 1)}>; rel=\"next\"");
        }

        if (links.Count > 0)
        {
            context.Response.Headers.Link = string.Join(", ", links);
        }

        return new Page<T>(first < all.Count ? [.. all.Skip((int)first).Take(size)] : [], number, size, all.Count);

        string At(int page) => context.Request.Path + QueryString.Create(
            [.. context.Request.Query.Where(pair => pair.Key != "page"), new("page", page.ToString(CultureInfo.InvariantCulture))]);
    }

    private static IResult Vessels(HttpContext context, FleetBoard board)
    {
        if (!FleetQuery.TryRead(context.Request.Query, out FleetQuery? query, out Dictionary<string, string[]> faults))
        {
            return Faulty(faults);
        }

        IReadOnlyList<FleetRow> rows = query.Select(board.Snapshot);
        Page<FleetRow> page = Cut(context, rows, query.Page, query.Size);
        return new Tagged<Page<VesselData>>(new Page<VesselData>([.. page.Items.Select(VesselData.Of)], page.Number, page.Size, page.Total));
    }

    private static IResult Vessel(string id, FleetBoard board) =>
        board.Snapshot.Find(id) is { } row ? new Tagged<VesselData>(VesselData.Of(row)) : Unknown(id);

    private static IResult Trend(string id, HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        SpanQuery span = SpanQuery.Read(context.Request.Query, faults);
        return desk.Register.Find(id) is not { } vessel ? Unknown(id)
            : faults.Count > 0 ? Faulty(faults)
            : new Tagged<TrendView>(TrendView.Compose(vessel, desk.Store.Windows(id), desk.Store.LastAssessment(id), span));
    }

    private static IResult Windows(string id, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is null)
        {
            return Unknown(id);
        }

        Dictionary<string, string[]> faults = [];
        SpanQuery span = SpanQuery.Read(context.Request.Query, faults);
        int number = Whole(context, "page", 1, 1, int.MaxValue, faults);
        int size = Whole(context, "size", DefaultWindowPage, 1, GreatestWindowPage, faults);
        string wanted = context.Request.Query["standing"].FirstOrDefault() ?? "";
        WindowStanding? standing = Enum.GetValues<WindowStanding>().Select(known => (WindowStanding?)known)
            .FirstOrDefault(known => string.Equals(known.ToString(), wanted, StringComparison.OrdinalIgnoreCase));
        if (wanted.Length > 0 && standing is null)
        {
            faults["standing"] = ["Give accepted, ambiguous or rejected, or leave it out."];
        }

        return faults.Count > 0
            ? Faulty(faults)
            : new Tagged<Page<WindowData>>(Cut(
                context,
                [.. desk.Store.Windows(id).Reverse().Where(window => span.Holds(window.Middle) && (standing is null || window.Standing == standing)).Select(WindowData.Of)],
                number,
                size));
    }

    private static IResult Window(string id, string window, Desk desk) =>
        desk.Register.Find(id) is null ? Unknown(id)
        : WindowId.Find(desk.Store.Windows(id), window) is { } found ? new Tagged<WindowData>(WindowData.Of(found))
        : TypedResults.Problem($"Vessel '{id}' has no window '{window}'. List them at /api/v1/vessels/{Uri.EscapeDataString(id)}/windows.", statusCode: StatusCodes.Status404NotFound, title: "No such window.");

    private static async Task<IResult> ReadingsAsync(string id, HttpContext context, Desk desk, CancellationToken stop)
    {
        Dictionary<string, string[]> faults = [];
        SpanQuery span = SpanQuery.Read(context.Request.Query, faults);
        int limit = Whole(context, "limit", DefaultReadings, LeastReadings, GreatestReadings, faults);
        if (desk.Register.Find(id) is null)
        {
            return Unknown(id);
        }

        if (faults.Count > 0)
        {
            return Faulty(faults);
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

    private static IResult Jobs(string id, Desk desk) =>
        desk.Register.Find(id) is null ? Unknown(id) : new Tagged<IReadOnlyList<Job>>(desk.Store.OpenJobs(id));

    private static int Whole(HttpContext context, string name, int fallback, int least, int greatest, Dictionary<string, string[]> faults)
    {
        string text = context.Request.Query[name].FirstOrDefault() ?? "";
        if (text.Length == 0)
        {
            return fallback;
        }

        if (int.TryParse(text, NumberStyles.None, CultureInfo.InvariantCulture, out int value) && value >= least && value <= greatest)
        {
            return value;
        }

        faults[name] = [$"Give a whole number from {least} to {greatest}."];
        return fallback;
    }

    private static ValidationProblem Faulty(Dictionary<string, string[]> faults) =>
        TypedResults.ValidationProblem(faults, title: "The query cannot be used.");

    private static ProblemHttpResult Unknown(string id) => TypedResults.Problem(
        $"The register has no vessel '{id}'. List them at /api/v1/vessels.", statusCode: StatusCodes.Status404NotFound, title: "No such vessel.");
}
