using DriftWatch.Host.Web.People;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.People;
using DriftWatch.Storage;
using Microsoft.AspNetCore.Http;

namespace DriftWatch.Host.Web.Alarms;

/// <summary>What people do to alarms, from pages and from programs alike.</summary>
internal static class AlarmActs
{
    /// <summary>Longest reason.</summary>
    public const int LongestWhy = 1000;

    private static readonly AlarmEvent[] OfPeople = [.. Enum.GetValues<AlarmEvent>().Where(what => what >= AlarmEvent.Acknowledge)];

    /// <summary>What has a place while the alarm is as it is.</summary>
    public static IReadOnlyList<AlarmEvent> Possible(Alarm alarm) =>
        [.. OfPeople.Where(what => AlarmStateMachine.Next(alarm.Status, what, AlarmDefinition.Of(alarm.Kind).Latching) is not null)];

    /// <summary>Whether a reason has to be given.</summary>
    public static bool NeedsWhy(AlarmEvent what) => what is AlarmEvent.Shelve or AlarmEvent.Suppress or AlarmEvent.RemoveFromService;

    /// <summary>Does something to an alarm, as the person of the request.</summary>
    /// <param name="context">The request.</param>
    /// <param name="desk">The desk.</param>
    /// <param name="seen">The alarm as it was seen; it is done only while the alarm is still that.</param>
    /// <param name="alarm">Which alarm.</param>
    /// <param name="what">What.</param>
    /// <param name="why">Why.</param>
    /// <param name="shelf">For a shelf: how long.</param>
    /// <param name="once">The request's own name, where it may be repeated.</param>
    public static WriteOutcome Do(HttpContext context, Desk desk, Predicate<Alarm> seen, (string VesselId, AlarmKind Kind) alarm, AlarmEvent what, string why, TimeSpan? shelf, Once? once)
    {
        if (what < AlarmEvent.Acknowledge)
        {
            return WriteOutcome.Refused($"{what} comes from the data, not from people.");
        }

        if (what == AlarmEvent.Shelve && desk.Alarms.WhyNotShelved(shelf) is { } tooLong)
        {
            return WriteOutcome.Refused(tooLong);
        }

        if (why.Length > LongestWhy)
        {
            return WriteOutcome.Refused($"The reason has {why.Length} characters; at most {LongestWhy} are kept.");
        }

        DateTimeOffset now = desk.Clock.Now;
        Alarm before = desk.Store.Alarms(now, alarm.VesselId).Of(alarm.VesselId, alarm.Kind);
        AlarmAction action = new(
            alarm.VesselId, alarm.Kind, now, what, context.Person()!.Name, why.Trim(),
            what is AlarmEvent.Acknowledge or AlarmEvent.Reset ? before.Raised : null,
            what == AlarmEvent.Shelve ? now + shelf : null);
        string after = string.Join(", ", new[] { AlarmWords.Of(alarm.Kind), action.Why, action.Until is { } until ? $"until {until:O}" : "" }.Where(part => part.Length > 0));
        return desk.Store.Record(
            action, context.Entry(AlarmWords.Done(what), alarm.VesselId, AlarmWords.Of(before.Status.State), after), once, still => seen(still) && still == before);
    }
}
