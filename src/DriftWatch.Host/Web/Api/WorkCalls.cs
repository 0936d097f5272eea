using DriftWatch.Host.Web.People;
using DriftWatch.Host.Web.Rounds;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Api;

/// <summary>Checks that are due, and work on record, for programs. A record has its sender's own id: sent twice it is one.</summary>
internal static class WorkCalls
{
    private const int UsualDays = 14;

    private const int MostDays = 400;

    public static void MapWorkCalls(this IEndpointRouteBuilder routes)
    {
        RouteGroupBuilder api = routes.MapGroup("/api/v1").WithTags("Work");
        api.MapGet("/round", Round).WithName("getRound").WithSummary("Checks by hand that are due, place by place, the most overdue first")
            .Asks(("days", "how many days ahead, 0 to 400; 14 where left out"), ("place", "one place only"))
            .Produces<IReadOnlyList<RoundStopData>>().ProducesValidationProblem();
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

    private static IResult Round(HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        int days = ApiQuery.Whole(context, "days", UsualDays, 0, MostDays, faults);
        if (faults.Count > 0)
        {
            return ApiQuery.Faulty(faults);
        }

        string place = context.Request.Query["place"].FirstOrDefault() ?? "";
        DateTimeOffset now = desk.Clock.Now;
        IEnumerable<RoundStop> stops = desk.Register.Vessels
            .Where(vessel => place.Length == 0 || vessel.Place == place)
            .Select(vessel => RoundPlanner.Of(vessel, desk.Store.Windows(vessel.Id), desk.Store.LastAssessment(vessel.Id), now));
        return new Tagged<IReadOnlyList<RoundStopData>>([.. RoundPlanner.Route(stops, now.AddDays(days)).SelectMany(one => one.Stops).Select(RoundStopData.Of)]);
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

        return desk.Store.WorkOf(id).FirstOrDefault(entry => entry.Record.Id == record) is { } entry
            ? new Tagged<WorkData>(Data(vessel, entry))
            : TypedResults.Problem($"Vessel '{id}' has no record {record}.", statusCode: StatusCodes.Status404NotFound, title: "No such record.");
    }

    private static IResult Put(string id, Guid record, WorkEntered entered, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is null)
        {
            return ApiQuery.UnknownVessel(id);
        }

        WorkRecord work = WorkData.Record(record, id, entered, context.Person()!.Name, desk.Clock.Now);
        if (work.Faults() is { Count: > 0 } faults)
        {
            return Refused(faults);
        }

        switch (desk.Vessels.Record(work))
        {
            case WorkOutcome.Recorded:
                desk.Store.Record(context.Entry(work.Kind == WorkKind.Charge ? "charge recorded" : "check recorded", id, after: record.ToString()));
                return One(id, record, desk);
            case WorkOutcome.Repeated:
                return One(id, record, desk);
            default:
                return TypedResults.Problem(
                    "Another record has this id, with other values. A record is never changed: void it, and enter this one under an id of its own.",
                    statusCode: StatusCodes.Status409Conflict, title: "The id is taken.");
        }
    }

    private static IResult Void(string id, Guid record, Guid voiding, WorkVoided voided, HttpContext context, Desk desk)
    {
        if (desk.Register.Find(id) is null || desk.Store.WorkOf(id).All(entry => entry.Record.Id != record))
        {
            return One(id, record, desk);
        }

        WorkVoid wrong = new(voiding, record, context.Person()!.Name, voided.Why, RecordSource.Api, desk.Clock.Now);
        if (wrong.Faults() is { Count: > 0 } faults)
        {
            return Refused(faults);
        }

        WorkOutcome outcome = desk.Vessels.Void(wrong);
        if (outcome is WorkOutcome.IdUsed or WorkOutcome.VoidAlready)
        {
            return TypedResults.Problem(
                outcome == WorkOutcome.IdUsed ? "Something else has this id: give one of its own." : "The record is void already; GET tells by whom and why.",
                statusCode: StatusCodes.Status409Conflict, title: "It has no place now.");
        }

        if (outcome == WorkOutcome.Recorded)
        {
            desk.Store.Record(context.Entry("record voided", id, after: $"{record}: {voided.Why}"));
        }

        return One(id, record, desk);
    }

    private static WorkData Data(Vessel vessel, WorkEntry entry) => WorkData.Of(vessel, entry, RoundEndpoints.Finding(vessel, entry.Record));

    private static ProblemHttpResult Refused(IReadOnlyList<string> faults) => TypedResults.Problem(
        string.Join(" ", faults), statusCode: StatusCodes.Status400BadRequest, title: "The record cannot be used.",
        extensions: new Dictionary<string, object?> { ["faults"] = faults });
}
