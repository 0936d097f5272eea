using DriftWatch.Host.Web.Fleet;
using DriftWatch.Host.Web.People;
using DriftWatch.Host.Web.Rounds;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Api;

/// <summary>Checks that are due, and work on record, for programs. A record has its sender's own id: sent twice it is one.</summary>
internal static class WorkCalls
{
    private const int UsualPage = 100;

    private const int MostOnPage = 500;

    public static void MapWorkCalls(this IEndpointRouteBuilder routes)
    {
        RouteGroupBuilder api = routes.MapGroup("/api/v1").WithTags("Work");
        api.MapGet("/round", Round).WithName("getRound").WithSummary("Checks by hand that are due, place by place, the most overdue first")
            .Asks(
                ("days", "how many days ahead, 0 to 400; 14 where left out"), ("place", "one place only"), ("vessel", "one vessel only, due or not"),
                ("page", "number of the page, from 1"), ("size", "most on a page, 1 to 500"))
            .Produces<Page<RoundStopData>>().ProducesValidationProblem();
        api.MapGet("/vessels/{id}/work", All).WithName("listWork").WithSummary("Charges and checks of a vessel on record, void ones too, in the order they came")
            .Produces<IReadOnlyList<WorkData>>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapGet("/vessels/{id}/work/{record:guid}", One).WithName("getWork").WithSummary("One record, with the precharge it shows and what that means")
            .Produces<WorkData>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapPut("/vessels/{id}/work/{record:guid}", Put).WithName("recordWork").WithSummary("Record a charge or a check under an id of your own; a record is never changed, a wrong one is voided")
            .RequireAuthorization(Policies.Technician).Writes(conditional: false, repeatable: false)
            .Produces<WorkData>().ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict);
        api.MapPut("/vessels/{id}/work/{record:guid}/void/{voiding:guid}", Void).WithName("voidWork").WithSummary("Say under an id of your own that a record is wrong; it stands, and counts no more")
            .RequireAuthorization(Policies.Technician).Writes(conditional: false, repeatable: false)
            .Produces<WorkData>().ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict);
    }

    private static IResult Round(HttpContext context, Desk desk, FleetBoard fleet, RoundBoard rounds)
    {
        Dictionary<string, string[]> faults = [];
        RoundQuery query = RoundQuery.Read(context, desk, faults);
        int number = ApiQuery.Whole(context, "page", 1, 1, int.MaxValue, faults);
        int size = ApiQuery.Whole(context, "size", UsualPage, 1, MostOnPage, faults);
        return faults.Count > 0
            ? ApiQuery.Faulty(faults)
            : new Tagged<Page<RoundStopData>>(ApiQuery.Cut(context, query.Select(desk, fleet, rounds, desk.Clock.Now), number, size, RoundStopData.Of));
    }

    private static IResult All(string id, Desk desk) => desk.Register.Find(id) is { } vessel
        ? new Tagged<IReadOnlyList<WorkData>>([.. desk.Store.WorkOf(id).Select(entry => Data(vessel, entry))])
        : ApiQuery.UnknownVessel(id);

    private static IResult One(string id, Guid record, Desk desk)
    {
        if (desk.Register.Find(id) is not { } vessel)
        {
            return ApiQuery.UnknownVessel(id);
        }

        return WorkActs.Find(desk.Store, id, record) is { } entry
            ? new Tagged<WorkData>(Data(vessel, entry))
            : TypedResults.Problem($"Vessel '{id}' has no record {record}.", statusCode: StatusCodes.Status404NotFound, title: "No such record.");
    }

    private static IResult Put(string id, Guid record, WorkEntered entered, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is null)
        {
            return ApiQuery.UnknownVessel(id);
        }

        WorkAnswer answer = WorkActs.Record(context, desk, WorkData.Record(record, id, entered, context.Person()!.Name, desk.Clock.Now), []);
        return answer.Faults.Count > 0 ? Refused(answer) : One(id, record, desk);
    }

    private static IResult Void(string id, Guid record, Guid voiding, WorkVoided voided, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is null || WorkActs.Find(desk.Store, id, record) is null)
        {
            return One(id, record, desk);
        }

        WorkAnswer answer = WorkActs.Void(
            context, desk, id, new WorkVoid(voiding, record, context.Person()!.Name, voided.Why, RecordSource.Api, desk.Clock.Now));
        return answer.Faults.Count > 0 ? Refused(answer) : One(id, record, desk);
    }

    private static WorkData Data(Vessel vessel, WorkEntry entry) => WorkData.Of(vessel, entry, RoundEndpoints.Finding(vessel, entry.Record));

    private static ProblemHttpResult Refused(WorkAnswer answer) => TypedResults.Problem(
        string.Join(" ", answer.Faults), statusCode: answer.Status, title: answer.Outcome is null ? "The record cannot be used." : "It has no place now.",
        extensions: new Dictionary<string, object?> { ["faults"] = answer.Faults });
}
