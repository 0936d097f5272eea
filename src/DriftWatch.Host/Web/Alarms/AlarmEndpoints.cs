using System.Globalization;
using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Host.Web.People;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Register;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Alarms;

/// <summary>Alarms, for people and for programs.</summary>
internal static class AlarmEndpoints
{
    private const int FigureDays = 30;

    private const int MostFigureDays = 3650;

    private const int AlarmsOnPage = 50;

    private const int UsualPage = 100;

    private const int MostOnPage = 500;

    public static void MapAlarms(this IEndpointRouteBuilder routes)
    {
        RouteGroupBuilder pages = routes.MapGroup("").ExcludeFromDescription();
        pages.MapGet("/alarms", Show);
        pages.MapPost("/alarms", ActAsync).RequireAuthorization(Policies.Technician);

        RouteGroupBuilder api = routes.MapGroup("/api/v1").WithTags("Alarms");
        api.MapGet("/alarms", List).WithName("listAlarms").WithSummary("Alarms, graver and older first")
            .Asks(
                ("state", "standing (default: announced or standing, not set aside), setAside or all"),
                ("page", "number of the page, from 1"), ("size", "most on a page, 1 to 500"))
            .Produces<Page<AlarmData>>().ProducesValidationProblem();
        api.MapGet("/alarms/figures", Figures).WithName("getAlarmFigures").WithSummary("How well the alarms serve")
            .Asks(("days", "days to look back, 1 to 3650; 30 where left out")).Produces<AlarmFigures>().ProducesValidationProblem();
        api.MapGet("/vessels/{id}/alarms", OfVessel).WithName("listAlarmsOfVessel").WithSummary("Alarms of a vessel that ever came")
            .Produces<IReadOnlyList<AlarmData>>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/alarms/{kind}", One).WithName("getAlarm").WithSummary("An alarm; its entity tag is what acting on it asks for")
            .Produces<AlarmData>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapPost("/vessels/{id}/alarms/{kind}/actions", ActByProgram).WithName("actOnAlarm")
            .WithSummary("Acknowledge, shelve, take out of service, and the ways back")
            .RequireAuthorization(Policies.Technician).Writes()
            .Produces<AlarmData>().ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict);
        api.MapGet("/vessels/{id}/alarm-journal", Journal).WithName("getAlarmJournal").WithSummary("What happened to the alarms of a vessel, newest first")
            .Asks(("page", "number of the page, from 1"), ("size", "most on a page, 1 to 500"))
            .Produces<Page<AlarmTransition>>().ProducesProblem(StatusCodes.Status404NotFound).ProducesValidationProblem();
    }

    /// <summary>Alarms that want to be shown: announced, standing or set aside.</summary>
    public static IReadOnlyList<Alarm> Shown(AlarmBook book) => [.. book.Alarms.Where(alarm => alarm.Status.State != AlarmState.Normal)];

    /// <summary>Alarms of vessels of the register: those of one that has left it lead to no page, and nobody can act on them.</summary>
    private static List<Alarm> OfRegister(Desk desk, AlarmBook book)
    {
        VesselRegister register = desk.Register;
        return [.. book.Alarms.Where(alarm => register.Find(alarm.VesselId) is not null)];
    }

    private static RazorComponentResult Show(HttpContext context, Desk desk)
    {
        AlarmBook book = desk.Store.Alarms(desk.Clock.Now);
        List<Alarm> alarms = OfRegister(desk, book);
        IReadOnlyList<AlarmGroup> groups = AlarmFlood.Groups(alarms, desk.Alarms.Flood);
        List<(AlarmGroup Group, Alarm Alarm)> standing = [.. groups.SelectMany(group => group.Alarms.Select(alarm => (group, alarm)))];
        List<Alarm> aside = [.. alarms.Where(alarm => alarm.Status.IsSetAside)];
        int number = NumberOf("page", standing.Count);
        int asideNumber = NumberOf("aside", aside.Count);
        return PageEndpoints.Page<AlarmsPage>(context, desk, new()
        {
            ["Standing"] = standing.Skip((number - 1) * AlarmsOnPage).Take(AlarmsOnPage).ToList(),
            ["StandingTotal"] = standing.Count,
            ["Number"] = number,
            ["SetAside"] = aside.Skip((asideNumber - 1) * AlarmsOnPage).Take(AlarmsOnPage).ToList(),
            ["SetAsideTotal"] = aside.Count,
            ["SetAsideNumber"] = asideNumber,
            ["Size"] = AlarmsOnPage,
            ["Figures"] = FiguresOf(book, FigureDays),
        });

        // A page that is not there any more is the last one.
        int NumberOf(string name, int count) => Math.Min(Math.Max(1, (count + AlarmsOnPage - 1) / AlarmsOnPage), ApiQuery.Whole(context, name, 1, 1, int.MaxValue, []));
    }

    private static async Task<IResult> ActAsync(HttpContext context, Desk desk, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        string vessel = form["vessel"].ToString();
        if (desk.Register.Find(vessel) is null || !TryName(form["kind"], out AlarmKind kind) || !TryName(form["what"], out AlarmEvent what))
        {
            return TypedResults.NotFound();
        }

        string back = SignInEndpoints.Ours(form["back"]);
        TimeSpan? shelf = int.TryParse(form["hours"], NumberStyles.None, CultureInfo.InvariantCulture, out int hours) && hours <= 10_000 ? TimeSpan.FromHours(hours) : null;
        string seen = form["seen"].ToString();
        WriteOutcome outcome = AlarmActs.Do(
            context, desk, alarm => EntityTag.Of(context, AlarmData.Of(alarm)) == seen, (vessel, kind), what, form["why"].ToString(), shelf, once: null);
        return outcome.Kind == WriteOutcomeKind.Done
            ? TypedResults.LocalRedirect(back)
            : Failures.Page(desk, StatusCodes.Status409Conflict, "It was not done.", outcome.Why, back);
    }

    private static IResult List(HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        List<Alarm> known = OfRegister(desk, desk.Store.Alarms(desk.Clock.Now));
        IEnumerable<Alarm> alarms = context.Request.Query["state"].ToString() switch
        {
            "" or "standing" => AlarmFlood.Groups(known, desk.Alarms.Flood).SelectMany(group => group.Alarms),
            "setAside" => known.Where(alarm => alarm.Status.IsSetAside),
            "all" => known,
            _ => None(),
        };
        int number = ApiQuery.Whole(context, "page", 1, 1, int.MaxValue, faults);
        int size = ApiQuery.Whole(context, "size", UsualPage, 1, MostOnPage, faults);
        return faults.Count > 0
            ? ApiQuery.Faulty(faults)
            : new Tagged<Page<AlarmData>>(ApiQuery.Cut(context, [.. alarms], number, size, AlarmData.Of));

        IEnumerable<Alarm> None()
        {
            faults["state"] = ["Give standing, setAside or all, or leave it out."];
            return [];
        }
    }

    private static IResult Figures(HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        int days = ApiQuery.Whole(context, "days", FigureDays, 1, MostFigureDays, faults);
        return faults.Count > 0 ? ApiQuery.Faulty(faults) : new Tagged<AlarmFigures>(FiguresOf(desk.Store.Alarms(desk.Clock.Now), days));
    }

    private static IResult OfVessel(string id, Desk desk) => desk.Register.Find(id) is null
        ? ApiQuery.UnknownVessel(id)
        : new Tagged<IReadOnlyList<AlarmData>>([.. desk.Store.Alarms(desk.Clock.Now, id).Alarms.Select(AlarmData.Of)]);

    private static IResult One(string id, string kind, Desk desk) =>
        desk.Register.Find(id) is null ? ApiQuery.UnknownVessel(id)
        : !TryName(kind, out AlarmKind known) ? UnknownKind(kind)
        : new Tagged<AlarmData>(AlarmData.Of(desk.Store.Alarms(desk.Clock.Now, id).Of(id, known)));

    private static IResult ActByProgram(string id, string kind, AlarmActRequest request, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is null)
        {
            return ApiQuery.UnknownVessel(id);
        }

        if (!TryName(kind, out AlarmKind known))
        {
            return UnknownKind(kind);
        }

        if (ApiWrite.Of(context, request) is not { } write)
        {
            return ApiWrite.Unconditional();
        }

        WriteOutcome outcome = AlarmActs.Do(
            context, desk, alarm => write.Fits(EntityTag.Of(context, AlarmData.Of(alarm))), (id, known), request.What, request.Why ?? "",
            request.ShelfMinutes is { } minutes ? TimeSpan.FromMinutes(minutes) : null, write.Once);
        return ApiWrite.Answer(outcome, () => new Tagged<AlarmData>(AlarmData.Of(desk.Store.Alarms(desk.Clock.Now, id).Of(id, known))));
    }

    private static IResult Journal(string id, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is null)
        {
            return ApiQuery.UnknownVessel(id);
        }

        Dictionary<string, string[]> faults = [];
        int number = ApiQuery.Whole(context, "page", 1, 1, int.MaxValue, faults);
        int size = ApiQuery.Whole(context, "size", UsualPage, 1, MostOnPage, faults);
        return faults.Count > 0
            ? ApiQuery.Faulty(faults)
            : new Tagged<Page<AlarmTransition>>(ApiQuery.Cut(
                context, [.. desk.Store.Alarms(desk.Clock.Now, id).Journal.Reverse()], number, size, line => line));
    }

    private static AlarmFigures FiguresOf(AlarmBook book, int days) => AlarmFigures.Of(AlarmPerformance.Of(book, book.AsOf.AddDays(-days)));

    private static ProblemHttpResult UnknownKind(string kind) => TypedResults.Problem(
        $"There is no kind of alarm '{kind}'. Give one of {string.Join(", ", Enum.GetNames<AlarmKind>().Select(name => char.ToLowerInvariant(name[0]) + name[1..]))}.",
        statusCode: StatusCodes.Status404NotFound, title: "No such alarm.");

    private static bool TryName<T>(string? name, out T value)
        where T : struct, Enum
    {
        value = default;
        return name is { Length: > 0 } && char.IsLetter(name[0]) && Enum.TryParse(name, ignoreCase: true, out value) && Enum.IsDefined(value);
    }
}
