namespace DriftWatch.Plant.Alarms;

/// <summary>
/// What is still to be told of the alarms, given what was told last of each. Goes by the state that stands and not by what
/// led to it: readings that come late may rewrite the journal, and a receiver is told only what is different now.
/// </summary>
public static class AlarmTelling
{
    private const string LateReadings = "Readings that came late changed the picture.";

    /// <summary>The notices to send, by vessel and kind.</summary>
    /// <param name="told">The last notice of each alarm.</param>
    /// <param name="book">The alarms now.</param>
    /// <param name="placeOf">Where a vessel is, by its id.</param>
    public static IReadOnlyList<AlarmNotice> Outstanding(IEnumerable<AlarmNotice> told, AlarmBook book, Func<string, string> placeOf)
    {
        Dictionary<(string VesselId, AlarmKind Kind), AlarmNotice> last = told.ToDictionary(notice => (notice.Alarm.VesselId, notice.Alarm.Kind));
        Dictionary<(string VesselId, AlarmKind Kind), AlarmTransition> moves = [];
        foreach (AlarmTransition line in book.Journal)
        {
            moves[(line.VesselId, line.Kind)] = line;
        }

        List<AlarmNotice> outstanding = [];
        foreach ((string vessel, AlarmKind kind) in book.Alarms.Select(alarm => (alarm.VesselId, alarm.Kind)).Union(last.Keys))
        {
            Alarm alarm = book.Of(vessel, kind);
            AlarmNotice? before = last.GetValueOrDefault((vessel, kind));
            if (before is null ? alarm.Status.State == AlarmState.Normal : SaysTheSame(before.Alarm, alarm))
            {
                continue;
            }

            AlarmTransition? move = moves.GetValueOrDefault((vessel, kind));
            outstanding.Add(new AlarmNotice(
                alarm, placeOf(vessel), (before?.Revision ?? 0) + 1, move?.At ?? book.AsOf, move?.By ?? "data", move?.Why ?? LateReadings));
        }

        return outstanding;
    }

    /// <summary>Of an alarm that is normal only that is said; the evidence in words changes too often to be news.</summary>
    private static bool SaysTheSame(Alarm told, Alarm now) =>
        told.Status.State == now.Status.State
        && (now.Status.State == AlarmState.Normal
            || (told.Raised == now.Raised && told.Priority == now.Priority && told.ShelvedUntil == now.ShelvedUntil));
}
