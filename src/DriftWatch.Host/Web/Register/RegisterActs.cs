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
