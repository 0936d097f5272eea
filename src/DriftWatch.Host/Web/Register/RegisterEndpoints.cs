using System.Text;
using System.Text.Json.Nodes;
using DriftWatch.Host.Registering;
using DriftWatch.Host.Web.Pages;
using DriftWatch.Host.Web.People;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using Microsoft.AspNetCore.Builder;
using Microsoft.AspNetCore.Http;
using Microsoft.AspNetCore.Http.HttpResults;
using Microsoft.AspNetCore.Mvc;
using Microsoft.AspNetCore.Routing;

namespace DriftWatch.Host.Web.Register;

/// <summary>The register on pages: edit, add, retire, take in a file, save it.</summary>
internal static class RegisterEndpoints
{
    /// <summary>Greatest register file taken in: some 10,000 vessels with all they can have.</summary>
    public const int GreatestFileBytes = 32 * 1024 * 1024;

    private const int ChangesShown = 1000;

    public static void MapRegister(this IEndpointRouteBuilder routes, Desk desk)
    {
        RouteGroupBuilder reading = routes.MapGroup("/register").ExcludeFromDescription();
        reading.MapGet("", Show);
        reading.MapGet("/register.json", SaveAsync);
        if (desk.Editor is not { } editor)
        {
            return;
        }

        RouteGroupBuilder pages = routes.MapGroup("/register").ExcludeFromDescription().RequireAuthorization(Policies.Engineer);
        pages.MapGet("/new", (string? like, HttpContext context, CancellationToken stop) => NewAsync(like, context, desk, editor, stop));
        pages.MapPost("/new", (HttpContext context, CancellationToken stop) => AddAsync(context, desk, editor, stop));
        pages.MapGet("/vessels/{id}", (string id, HttpContext context, CancellationToken stop) => EditAsync(id, context, desk, editor, stop));
        pages.MapPost("/vessels/{id}", (string id, HttpContext context, CancellationToken stop) => ChangeAsync(id, context, desk, editor, stop));
        pages.MapPost("/vessels/{id}/retire", (string id, HttpContext context, CancellationToken stop) => RetireAsync(id, context, desk, editor, stop));
        pages.MapPost("/import", (HttpContext context, PendingImports imports, CancellationToken stop) => ImportAsync(context, desk, editor, imports, stop))
            .WithMetadata(new RequestSizeLimitAttribute(GreatestFileBytes));
        pages.MapPost("/import/take", (HttpContext context, PendingImports imports, CancellationToken stop) => TakeAsync(context, desk, editor, imports, stop));
    }

    private static RazorComponentResult Show(HttpContext context, Desk desk) => PageEndpoints.Page<RegisterPage>(context, desk, new()
    {
        ["Done"] = context.Request.Query["done"].ToString() is { Length: > 0 and <= 64 } done ? done : null,
    });

    private static async Task<IResult> SaveAsync(Desk desk, CancellationToken stop) => desk.Editor is { } editor
        ? TypedResults.File(Encoding.UTF8.GetBytes((await editor.ReadAsync(stop)).Text), "application/json; charset=utf-8", "register.json")
        : TypedResults.NotFound();

    private static async Task<IResult> NewAsync(string? like, HttpContext context, Desk desk, RegisterEditor editor, CancellationToken stop)
    {
        Dictionary<string, string> values = [];
        if (like is not null)
        {
            // A neighbour is alike in most; its id and its topics are its own.
            (JsonObject? neighbour, IReadOnlyList<RegisterDefect> defects) = await editor.EntryAsync(like, stop);
            if (defects.Count > 0)
            {
                return Spoilt(desk, defects);
            }

            values = RegisterForm.Read(neighbour);
            foreach (string own in values.Keys.Where(path => path == "id" || path.EndsWith(".topic", StringComparison.Ordinal)).ToList())
            {
                _ = values.Remove(own);
            }
        }

        return Form(context, desk, null, values, RegisterActs.TagOf(context, null), [], null, StatusCodes.Status200OK);
    }

    private static async Task<IResult> AddAsync(HttpContext context, Desk desk, RegisterEditor editor, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        JsonObject entry = RegisterForm.Write(null, path => form[path].ToString());
        string id = form["id"].ToString().Trim();
        RegisterEdit edit = await RegisterActs.ChangeAsync(context, editor, id, before => before is null, _ => entry, RecordSource.Page, "", stop);
        return edit.Result switch
        {
            RegisterEditResult.Done => TypedResults.LocalRedirect("/register" + QueryString.Create("done", id)),
            RegisterEditResult.Outdated => Form(context, desk, null, RegisterForm.Read(entry), "", [], $"There is already a vessel '{id}'.", StatusCodes.Status409Conflict),
            _ => Form(context, desk, null, Typed(form), "", edit.Defects, null, StatusCodes.Status400BadRequest),
        };
    }

    private static async Task<IResult> EditAsync(string id, HttpContext context, Desk desk, RegisterEditor editor, CancellationToken stop)
    {
        (JsonObject? entry, IReadOnlyList<RegisterDefect> defects) = await editor.EntryAsync(id, stop);
        return defects.Count > 0 ? Spoilt(desk, defects)
            : entry is not null ? Form(context, desk, id, RegisterForm.Read(entry), RegisterActs.TagOf(context, entry), [], null, StatusCodes.Status200OK)
            : TypedResults.NotFound();
    }

    private static async Task<IResult> ChangeAsync(string id, HttpContext context, Desk desk, RegisterEditor editor, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        string seen = form["seen"].ToString();
        RegisterEdit edit = await RegisterActs.ChangeAsync(
            context, editor, id, before => before is not null && RegisterActs.TagOf(context, before) == seen,
            before => RegisterForm.Write(before, path => path == "id" ? id : form[path].ToString()), RecordSource.Page, "", stop);
        if (edit.Result is RegisterEditResult.Done or RegisterEditResult.Unchanged)
        {
            return TypedResults.LocalRedirect($"/vessels/{Uri.EscapeDataString(id)}#register-heading");
        }

        if (edit.Result == RegisterEditResult.Outdated && (await editor.EntryAsync(id, stop)).Entry is { } now)
        {
            return Form(
                context, desk, id, Typed(form), RegisterActs.TagOf(context, now), [],
                "Someone has changed this vessel since you opened it; its history shows what. Your values stand below: sending them again puts them in place of the other's.",
                StatusCodes.Status409Conflict);
        }

        return edit.Result == RegisterEditResult.Refused
            ? Form(context, desk, id, Typed(form), seen, edit.Defects, null, StatusCodes.Status400BadRequest)
            : TypedResults.NotFound();
    }

    private static async Task<IResult> RetireAsync(string id, HttpContext context, Desk desk, RegisterEditor editor, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        string address = $"/register/vessels/{Uri.EscapeDataString(id)}";
        if (form["sure"] != "yes")
        {
            return Failures.Page(desk, StatusCodes.Status400BadRequest, "The vessel is not retired.", "Tick that you mean it.", address);
        }

        string seen = form["seen"].ToString();
        RegisterEdit edit = await RegisterActs.RetireAsync(
            context, editor, id, before => RegisterActs.TagOf(context, before) == seen, form["why"].ToString(), RecordSource.Page, stop);
        return edit.Result switch
        {
            RegisterEditResult.Done => TypedResults.LocalRedirect("/register" + QueryString.Create("done", id)),
            RegisterEditResult.Outdated => Failures.Page(desk, StatusCodes.Status409Conflict, "The vessel is not retired.", "Someone has changed it since you opened it: look again.", address),
            RegisterEditResult.Refused => Failures.Page(desk, StatusCodes.Status400BadRequest, "The vessel is not retired.", string.Join(" ", edit.Defects), address),
            _ => TypedResults.NotFound(),
        };
    }

    private static async Task<IResult> ImportAsync(HttpContext context, Desk desk, RegisterEditor editor, PendingImports imports, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        if (form.Files["file"] is not { Length: > 0 } file)
        {
            return Failures.Page(desk, StatusCodes.Status400BadRequest, "There is no file.", "Choose a register file, then send it.", "/register");
        }

        using StreamReader reader = new(file.OpenReadStream(), Encoding.UTF8);
        string text = await reader.ReadToEndAsync(stop);
        (RegisterEdit edit, RegisterFileState state, VesselRegister? read) = await RegisterActs.CheckAsync(editor, text, stop);
        if (read is not null)
        {
            imports.Keep(context.Person()!, text);
        }

        RazorComponentResult page = PageEndpoints.Page<ImportPage>(context, desk, new()
        {
            ["Defects"] = edit.Defects,
            ["Changes"] = edit.Changes.Take(ChangesShown).ToList(),
            ["Total"] = edit.Changes.Count,
            ["Retired"] = read is { } register ? desk.Register.Vessels.Select(vessel => vessel.Id).Where(id => register.Find(id) is null).ToList() : [],
            ["Added"] = read?.Vessels.Select(vessel => vessel.Id).Where(id => desk.Register.Find(id) is null).ToList() ?? [],
            ["Version"] = state.Version,
            ["FileVersion"] = RegisterText.DigestOf(text),
        });
        page.StatusCode = read is null ? StatusCodes.Status400BadRequest : StatusCodes.Status200OK;
        return page;
    }

    private static async Task<IResult> TakeAsync(HttpContext context, Desk desk, RegisterEditor editor, PendingImports imports, CancellationToken stop)
    {
        IFormCollection form = await context.Request.ReadFormAsync(stop);
        if (imports.Of(context.Person()!) is not { } text || RegisterText.DigestOf(text) != form["file"])
        {
            return Failures.Page(desk, StatusCodes.Status409Conflict, "The register is as it was.", "The file that you showed is not kept any more: send it again.", "/register");
        }

        RegisterEdit edit = await RegisterActs.ReplaceAsync(context, editor, text, form["version"].ToString(), RecordSource.Page, stop);
        if (edit.Result is RegisterEditResult.Done or RegisterEditResult.Unchanged)
        {
            imports.Drop(context.Person()!);
            return TypedResults.LocalRedirect("/register?done=file");
        }

        return edit.Result == RegisterEditResult.Outdated
            ? Failures.Page(desk, StatusCodes.Status409Conflict, "The register is as it was.", "Someone has changed the register since you looked at the differences: send the file again.", "/register")
            : Failures.Page(desk, StatusCodes.Status400BadRequest, "The register is as it was.", string.Join(" ", edit.Defects), "/register");
    }

    private static RazorComponentResult<FailurePage> Spoilt(Desk desk, IReadOnlyList<RegisterDefect> defects) =>
        Failures.Page(desk, StatusCodes.Status409Conflict, RegisterActs.Spoilt, string.Join(" ", defects), "/register");

    private static RazorComponentResult Form(
        HttpContext context, Desk desk, string? id, Dictionary<string, string> values, string seen, IReadOnlyList<RegisterDefect> defects, string? fault, int status)
    {
        RazorComponentResult page = PageEndpoints.Page<VesselFormPage>(context, desk, new()
        {
            ["Id"] = id,
            ["Values"] = values,
            ["Seen"] = seen,
            ["Defects"] = defects,
            ["Fault"] = fault,
        });
        page.StatusCode = status;
        return page;
    }

    private static Dictionary<string, string> Typed(IFormCollection form) =>
        RegisterForm.Groups.SelectMany(group => group.Fields).ToDictionary(field => field.Path, field => form[field.Path].ToString(), StringComparer.Ordinal);
}
