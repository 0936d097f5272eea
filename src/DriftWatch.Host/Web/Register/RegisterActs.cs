using System.Text.Json.Nodes;
using DriftWatch.Host.Registering;
using DriftWatch.Host.Web.Api;
using DriftWatch.Host.Web.People;
using DriftWatch.Plant.People;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Register;

/// <summary>Changes of the register, from pages and from programs alike. Each field is on record in the register's own history, each act in the audit log.</summary>
internal static class RegisterActs
{
    /// <summary>Heading of what is told of a file that somebody has spoilt by hand.</summary>
    public const string Spoilt = "The register file has defects; mend it first.";

    /// <summary>Longest reason.</summary>
    public const int LongestWhy = 1000;

    /// <summary>Tries again where someone changes another vessel at the same moment.</summary>
    private const int MostTries = 5;

    /// <summary>The entity tag of a vessel's entry; of none, a tag of its own.</summary>
    public static string TagOf(HttpContext context, JsonObject? entry) => EntityTag.Of(context, entry?.ToJsonString() ?? "none");

    /// <summary>Puts a vessel's entry in place of what was seen of it.</summary>
    /// <param name="context">The request.</param>
    /// <param name="editor">The editor.</param>
    /// <param name="vesselId">The vessel.</param>
    /// <param name="seen">Whether what stands there now is still what was seen.</param>
    /// <param name="change">The entry after, from the one before; null takes the vessel out.</param>
    /// <param name="source">The way it comes.</param>
    /// <param name="why">Why; empty where none is asked for.</param>
    /// <param name="stop">Ends it before anything is written.</param>
    public static async Task<RegisterEdit> ChangeAsync(
        HttpContext context, RegisterEditor editor, string vesselId, Predicate<JsonObject?> seen, Func<JsonObject?, JsonObject?> change,
        RecordSource source, string why, CancellationToken stop)
    {
        Person person = context.Person()!;
        RegisterEdit edit = new(RegisterEditResult.Outdated, [], []);
        for (int i = 0; i < MostTries && edit.Result == RegisterEditResult.Outdated; i++)
        {
            RegisterFileState file = await editor.ReadAsync(stop);
            JsonObject? before = RegisterReader.Read(file.Text).Register is null ? null : RegisterText.EntryOf(file.Text, vesselId);
            if (!seen(before))
            {
                return edit;
            }

            edit = change(before) is { } after
                ? await editor.PutAsync(vesselId, after, person.Name, source, file.Version, stop)
                : await editor.RemoveAsync(vesselId, person.Name, source, file.Version, stop);
        }

        Note(context, edit, why);
        return edit;
    }

    /// <summary>Takes a vessel out of the register, for a reason; its readings and records stay in the store.</summary>
    /// <param name="context">The request.</param>
    /// <param name="editor">The editor.</param>
    /// <param name="vesselId">The vessel.</param>
    /// <param name="seen">Whether its entry is still what was seen.</param>
    /// <param name="why">Why.</param>
    /// <param name="source">The way it comes.</param>
    /// <param name="stop">Ends it before anything is written.</param>
    public static async Task<RegisterEdit> RetireAsync(
        HttpContext context, RegisterEditor editor, string vesselId, Predicate<JsonObject> seen, string why, RecordSource source, CancellationToken stop) =>
        why.Trim() is { Length: > 0 and <= LongestWhy } reason
            ? await ChangeAsync(context, editor, vesselId, before => before is not null && seen(before), _ => null, source, reason, stop)
            : new RegisterEdit(RegisterEditResult.Refused, [new RegisterDefect("why", vesselId, "the reason is missing or too long.", $"Say in up to {LongestWhy} characters why the vessel is retired.")], []);

    /// <summary>What a register file would change, or its defects; changes nothing.</summary>
    /// <param name="editor">The editor.</param>
    /// <param name="text">The file.</param>
    /// <param name="stop">Ends it.</param>
    /// <returns>That, the file as it stands now, and the register that was read; null for one with defects.</returns>
    public static async Task<(RegisterEdit Edit, RegisterFileState Now, VesselRegister? Read)> CheckAsync(RegisterEditor editor, string text, CancellationToken stop)
    {
        RegisterFileState now = await editor.ReadAsync(stop);
        RegisterOutcome outcome = RegisterReader.Read(text);
        if (outcome.Register is not { } read)
        {
            return (new RegisterEdit(RegisterEditResult.Refused, outcome.Defects, []), now, null);
        }

        IReadOnlyList<RegisterFieldChange> changes = RegisterText.Changes(now.Text, text);
        return (new RegisterEdit(changes.Count == 0 ? RegisterEditResult.Unchanged : RegisterEditResult.Done, [], changes), now, read);
    }

    /// <summary>Puts another file in place of the one that was seen.</summary>
    public static async Task<RegisterEdit> ReplaceAsync(HttpContext context, RegisterEditor editor, string text, string version, RecordSource source, CancellationToken stop)
    {
        RegisterEdit edit = await editor.ReplaceAsync(text, context.Person()!.Name, source, version, stop);
        Note(context, edit, "");
        return edit;
    }

    /// <summary>A change in one line.</summary>
    public static string Words(RegisterFieldChange change) => $"{change.Field} {change.Before ?? "nothing"} -> {change.After ?? "nothing"}";

    private static void Note(HttpContext context, RegisterEdit edit, string why)
    {
        if (edit.Result != RegisterEditResult.Done)
        {
            return;
        }

        Desk desk = (Desk)context.RequestServices.GetService(typeof(Desk))!;
        foreach (IGrouping<string, RegisterFieldChange> vessel in edit.Changes.GroupBy(change => change.VesselId))
        {
            string what = vessel.Key.Length == 0 ? "register changed" : vessel.All(change => change.Before is null) ? "vessel added" : vessel.All(change => change.After is null) ? "vessel retired" : "vessel changed";
            desk.Store.Record(context.Entry(
                what, vessel.Key,
                string.Join("; ", vessel.Where(change => change.Before is not null).Select(change => $"{change.Field} {change.Before}")),
                string.Join("; ", vessel.Where(change => change.After is not null).Select(change => $"{change.Field} {change.After}").Prepend(why).Where(part => part.Length > 0))));
        }
    }
}
