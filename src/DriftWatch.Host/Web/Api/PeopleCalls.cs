using DriftWatch.Host.Settings;
using DriftWatch.Host.Web.People;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Api;

/// <summary>People, tokens and the audit log for programs.</summary>
internal static class PeopleCalls
{
    private const int UsualPage = 100;

    private const int MostOnPage = 500;

    public static void MapPeopleCalls(this IEndpointRouteBuilder routes, WebSettings settings)
    {
        if (!settings.HasSignIn)
        {
            return;
        }

        RouteGroupBuilder own = routes.MapGroup("/api/v1/me").WithTags("Oneself");
        own.MapGet("", (HttpContext context) => new Tagged<Person>(context.Person()!)).WithName("getMe").WithSummary("Whose token this is, and what it may do").Produces<Person>();
        own.MapGet("/tokens", (HttpContext context, Desk desk) => new Tagged<IReadOnlyList<AccessToken>>(desk.Store.TokensOf(context.Person()!.Id)))
            .WithName("listTokens").WithSummary("Access tokens of the person, without their secrets").Produces<IReadOnlyList<AccessToken>>();
        own.MapDelete("/tokens/{id}", RevokeToken).WithName("revokeToken").WithSummary("Revoke a token; again is as good as once")
            .Writes(conditional: false, repeatable: false).Produces(StatusCodes.Status204NoContent).ProducesProblem(StatusCodes.Status404NotFound);

        RouteGroupBuilder admin = routes.MapGroup("/api/v1").WithTags("People").RequireAuthorization(Policies.Administrator);
        admin.MapGet("/people", People).WithName("listPeople").WithSummary("People, by name")
            .Asks(("page", "number of the page, from 1"), ("size", "most on a page, 1 to 500")).Produces<Page<PersonData>>().ProducesValidationProblem();
        admin.MapGet("/people/{id}", One).WithName("getPerson").WithSummary("A person").Produces<PersonData>().ProducesProblem(StatusCodes.Status404NotFound);
        admin.MapPost("/people", Add).WithName("addPerson").WithSummary("Add an account of the plant's own").Writes(conditional: false)
            .Produces<PersonData>(StatusCodes.Status201Created).ProducesProblem(StatusCodes.Status409Conflict);
        admin.MapPatch("/people/{id}", Change).WithName("changePerson").WithSummary("Change the role, disable, let in again; ends the person's sessions")
            .Writes(repeatable: false).Produces<PersonData>().ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict);
        admin.MapPut("/people/{id}/password", SetPassword).WithName("setPassword").WithSummary("Set a password, to be changed at the next sign-in; ends the person's sessions")
            .Writes(repeatable: false).Produces<PersonData>().ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict);
        admin.MapGet("/audit", Audit).WithName("listAudit").WithSummary("What people did, newest first; go on with the last number as 'before'")
            .Asks(("before", "lines with a smaller number"), ("limit", "most lines, 1 to 500"), ("q", "text in who, what, about or from"), ("about", "what it was done to, exactly"))
            .Produces<IReadOnlyList<AuditLine>>().ProducesValidationProblem();
    }

    private static IResult RevokeToken(string id, HttpContext context, Desk desk) => PeopleActs.Revoke(context, desk, context.Person()!, id)
        ? TypedResults.NoContent()
        : TypedResults.Problem($"You have no token '{id}'.", statusCode: StatusCodes.Status404NotFound, title: "No such token.");

    private static IResult People(HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        int number = ApiQuery.Whole(context, "page", 1, 1, int.MaxValue, faults);
        int size = ApiQuery.Whole(context, "size", UsualPage, 1, MostOnPage, faults);
        return faults.Count > 0
            ? ApiQuery.Faulty(faults)
            : new Tagged<Page<PersonData>>(ApiQuery.Cut(context, desk.Store.Accounts(), number, size, PersonData.Of));
    }

    private static IResult One(string id, Desk desk) => desk.Store.AccountOf(id) is { } account ? new Tagged<PersonData>(PersonData.Of(account)) : Unknown(id);

    private static IResult Add(NewPerson request, HttpContext context, Desk desk, WebSettings settings, Passwords passwords) => After(
        PeopleActs.Add(context, desk, settings, passwords, request.Name, request.Role, request.Password, ApiWrite.OnceOf(context, request with { Password = "" })),
        () =>
        {
            PersonData added = PersonData.Of(desk.Store.AccountNamed(request.Name.Trim())!);
            return TypedResults.Created($"/api/v1/people/{added.Id}", added);
        });

    private static IResult Change(string id, PersonChange request, HttpContext context, Desk desk)
    {
        if (desk.Store.AccountOf(id) is not { } account)
        {
            return Unknown(id);
        }

        return ApiWrite.Of(context, request) is { } write
            ? After(OnSeen(context, write, account, () => PeopleActs.Change(context, desk, account, request.Role, request.Disabled)), () => One(id, desk))
            : ApiWrite.Unconditional();
    }

    private static IResult SetPassword(string id, NewPassword request, HttpContext context, Desk desk, Passwords passwords)
    {
        if (desk.Store.AccountOf(id) is not { Issuer: "" } account)
        {
            return Unknown(id);
        }

        return ApiWrite.Of(context, request with { Password = "" }) is { } write
            ? After(OnSeen(context, write, account, () => PeopleActs.SetPassword(context, desk, passwords, account, request.Password)), () => One(id, desk))
            : ApiWrite.Unconditional();
    }

    /// <summary>Does something to an account while it is what the sender saw; the act itself holds to it from there.</summary>
    private static PeopleAnswer OnSeen(HttpContext context, ApiWrite write, Account account, Func<PeopleAnswer> act) =>
        write.Fits(EntityTag.Of(context, PersonData.Of(account))) ? act() : new PeopleAnswer(WriteOutcome.Changed);

    private static IResult After(PeopleAnswer answer, Func<IResult> done) => answer.IsFaulty
        ? TypedResults.Problem(answer.Outcome.Why, statusCode: StatusCodes.Status400BadRequest, title: "The request cannot be used.")
        : ApiWrite.Answer(answer.Outcome, done);

    private static IResult Audit(HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        int limit = ApiQuery.Whole(context, "limit", UsualPage, 1, MostOnPage, faults);
        int before = ApiQuery.Whole(context, "before", int.MaxValue, 1, int.MaxValue, faults);
        return faults.Count > 0
            ? ApiQuery.Faulty(faults)
            : new Tagged<IReadOnlyList<AuditLine>>(desk.Store.AuditBefore(before, limit, context.Request.Query["about"].ToString(), context.Request.Query["q"].ToString()));
    }

    private static ProblemHttpResult Unknown(string id) => TypedResults.Problem(
        $"There is no person '{id}' with an account that this can be done to. List them at /api/v1/people.", statusCode: StatusCodes.Status404NotFound, title: "No such person.");
}
