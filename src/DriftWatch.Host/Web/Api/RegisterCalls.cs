using System.Text;
using System.Text.Json.Nodes;
using DriftWatch.Host.Registering;
using DriftWatch.Host.Web.People;
using DriftWatch.Host.Web.Register;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Api;

/// <summary>The register for programs: entries as they stand in the file, described by its schema.</summary>
internal static class RegisterCalls
{
    private const int UsualHistory = 100;

    private const int MostHistory = 500;

    public static void MapRegisterCalls(this IEndpointRouteBuilder routes, Desk desk)
    {
        RouteGroupBuilder api = routes.MapGroup("/api/v1").WithTags("Register");
        api.MapGet("/vessels/{id}/register-history", History).WithName("getRegisterHistory").WithSummary("Changes of a vessel's entry, newest first")
            .Asks(("limit", "most changes, 1 to 500")).Produces<IReadOnlyList<RegisterAuditEntry>>().ProducesValidationProblem();
        if (desk.Editor is not { } editor)
        {
            return;
        }

        api.MapGet("/register", async (HttpContext context, CancellationToken stop) => Text(context, (await editor.ReadAsync(stop)).Text))
            .WithName("getRegister").WithSummary("The register file").Produces<JsonObject>();
        api.MapPut("/register", (HttpContext context, CancellationToken stop) => ReplaceAsync(context, editor, stop))
            .WithName("replaceRegister").WithSummary("Put another register file in its place").Accepts<JsonObject>("application/json")
            .RequireAuthorization(Policies.Engineer).Writes(repeatable: false).WithMetadata(new RequestSizeLimitAttribute(RegisterEndpoints.GreatestFileBytes))
            .Produces<RegisterEdit>();
        api.MapPost("/register/check", (HttpContext context, CancellationToken stop) => CheckAsync(context, editor, stop))
            .WithName("checkRegister").WithSummary("What a register file would change, or its defects; changes nothing").Accepts<JsonObject>("application/json")
            .RequireAuthorization(Policies.Engineer).Writes(conditional: false, repeatable: false).WithMetadata(new RequestSizeLimitAttribute(RegisterEndpoints.GreatestFileBytes))
            .Produces<RegisterEdit>();
        api.MapGet("/register/vessels/{id}", (string id, HttpContext context, CancellationToken stop) => OneAsync(id, context, editor, stop))
            .WithName("getEntry").WithSummary("A vessel's entry in the register; its entity tag is what changing it asks for")
            .Produces<JsonObject>().ProducesProblem(StatusCodes.Status404NotFound).ProducesProblem(StatusCodes.Status409Conflict);
        api.MapPut("/register/vessels/{id}", (string id, JsonObject entry, HttpContext context, CancellationToken stop) => PutAsync(id, entry, context, editor, stop))
            .WithName("putEntry").WithSummary("Change a vessel's entry; with If-None-Match: * in place of If-Match, add it")
            .RequireAuthorization(Policies.Engineer).Writes(repeatable: false)
            .Produces<JsonObject>().ProducesProblem(StatusCodes.Status404NotFound);
        api.MapDelete("/register/vessels/{id}", (string id, string? why, HttpContext context, CancellationToken stop) => RemoveAsync(id, why, context, editor, stop))
            .WithName("retireVessel").WithSummary("Retire a vessel; its readings and records stay in the store")
            .Asks(("why", "why, in up to 1000 characters; required"))
            .RequireAuthorization(Policies.Engineer).Writes(repeatable: false)
            .Produces(StatusCodes.Status204NoContent).ProducesProblem(StatusCodes.Status404NotFound);
    }

    private static IResult History(string id, HttpContext context, Desk desk)
    {
        Dictionary<string, string[]> faults = [];
        int limit = ApiQuery.Whole(context, "limit", UsualHistory, 1, MostHistory, faults);
        if (faults.Count > 0)
        {
            return ApiQuery.Faulty(faults);
        }

        // A vessel that was retired keeps its history.
        IReadOnlyList<RegisterAuditEntry> changes = desk.Store.Audit(id, limit);
        return changes.Count == 0 && desk.Register.Find(id) is null ? ApiQuery.UnknownVessel(id) : new Tagged<IReadOnlyList<RegisterAuditEntry>>(changes);
    }

    private static IResult Text(HttpContext context, string text) => EntityTag.IsKnown(context, EntityTag.Of(Encoding.UTF8.GetBytes(text)))
        ? TypedResults.StatusCode(StatusCodes.Status304NotModified)
        : TypedResults.Text(text, "application/json", Encoding.UTF8);

    private static async Task<IResult> ReplaceAsync(HttpContext context, RegisterEditor editor, CancellationToken stop)
    {
        string text = await BodyAsync(context, stop);
        if (ApiWrite.Of(context, text) is not { } write)
        {
            return ApiWrite.Unconditional();
        }

        RegisterFileState state = await editor.ReadAsync(stop);
        RegisterEdit edit = write.Fits(EntityTag.Of(Encoding.UTF8.GetBytes(state.Text)))
            ? await RegisterActs.ReplaceAsync(context, editor, text, state.Version, RecordSource.Api, stop)
            : new RegisterEdit(RegisterEditResult.Outdated, [], []);
        return edit.Result is RegisterEditResult.Done or RegisterEditResult.Unchanged ? TypedResults.Ok(edit) : Refusal(edit, "");
    }

    private static async Task<IResult> CheckAsync(HttpContext context, RegisterEditor editor, CancellationToken stop) =>
        TypedResults.Ok((await RegisterActs.CheckAsync(editor, await BodyAsync(context, stop), stop)).Edit);

    private static async Task<IResult> OneAsync(string id, HttpContext context, RegisterEditor editor, CancellationToken stop)
    {
        (JsonObject? entry, IResult? refusal) = await EntryAsync(id, editor, stop);
        return refusal is not null ? refusal
            : EntityTag.IsKnown(context, RegisterActs.TagOf(context, entry)) ? TypedResults.StatusCode(StatusCodes.Status304NotModified)
            : TypedResults.Ok(entry);
    }

    /// <summary>The entry in the file, or why there is none; a file that somebody has spoilt by hand is told as such.</summary>
    private static async Task<(JsonObject? Entry, IResult? Refusal)> EntryAsync(string id, RegisterEditor editor, CancellationToken stop)
    {
        (JsonObject? entry, IReadOnlyList<RegisterDefect> defects) = await editor.EntryAsync(id, stop);
        if (defects.Count > 0)
        {
            return (null, TypedResults.Problem(
                string.Join(" ", defects), statusCode: StatusCodes.Status409Conflict, title: RegisterActs.Spoilt,
                extensions: new Dictionary<string, object?> { ["defects"] = defects }));
        }

        return entry is not null ? (entry, null) : (null, ApiQuery.UnknownVessel(id));
    }

    private static async Task<IResult> PutAsync(string id, JsonObject entry, HttpContext context, RegisterEditor editor, CancellationToken stop)
    {
        bool adds = context.Request.Headers.IfNoneMatch == "*";
        ApiWrite? write = ApiWrite.Of(context, "");
        if (write is null && !adds)
        {
            return ApiWrite.Unconditional();
        }

        if ((string?)entry["id"] != id)
        {
            return TypedResults.Problem($"The entry says id {entry["id"]?.ToJsonString() ?? "nothing"}, the address {id}: they are the same.", statusCode: StatusCodes.Status400BadRequest, title: "The request cannot be used.");
        }

        RegisterEdit edit = await RegisterActs.ChangeAsync(
            context, editor, id, before => adds ? before is null : before is not null && write!.Fits(RegisterActs.TagOf(context, before)),
            _ => entry.DeepClone().AsObject(), RecordSource.Api, "", stop);
        return edit.Result is RegisterEditResult.Done or RegisterEditResult.Unchanged ? await OneAsync(id, context, editor, stop) : Refusal(edit, id);
    }

    private static async Task<IResult> RemoveAsync(string id, string? why, HttpContext context, RegisterEditor editor, CancellationToken stop)
    {
        if (ApiWrite.Of(context, "") is not { } write)
        {
            return ApiWrite.Unconditional();
        }

        if ((await EntryAsync(id, editor, stop)).Refusal is { } refusal)
        {
            return refusal;
        }

        RegisterEdit edit = await RegisterActs.RetireAsync(
            context, editor, id, before => write.Fits(RegisterActs.TagOf(context, before)), why ?? "", RecordSource.Api, stop);
        return edit.Result == RegisterEditResult.Done ? TypedResults.NoContent() : Refusal(edit, id);
    }

    private static ProblemHttpResult Refusal(RegisterEdit edit, string id) => edit.Result switch
    {
        RegisterEditResult.Refused => TypedResults.Problem(
            string.Join(" ", edit.Defects), statusCode: StatusCodes.Status400BadRequest, title: "The change cannot be used.",
            extensions: new Dictionary<string, object?> { ["defects"] = edit.Defects }),
        RegisterEditResult.Outdated => TypedResults.Problem(
            "It has changed since you looked: look again, then decide.", statusCode: StatusCodes.Status412PreconditionFailed, title: "It has changed."),
        _ => ApiQuery.UnknownVessel(id),
    };

    private static async Task<string> BodyAsync(HttpContext context, CancellationToken stop)
    {
        using StreamReader reader = new(context.Request.Body, Encoding.UTF8);
        return await reader.ReadToEndAsync(stop);
    }
}
