namespace DriftWatch.Plant.Alarms;

/// <summary>Puts alarms together that one cause has brought, so that a broker outage or a cold night is one line and not forty.</summary>
public static class AlarmFlood
{
    /// <summary>The alarms that are to be shown, graver and older first; those set aside and normal ones are left out.</summary>
    /// <param name="alarms">Alarms in any order.</param>
    /// <param name="rule">What counts as a flood.</param>
    public static IReadOnlyList<AlarmGroup> Groups(IEnumerable<Alarm> alarms, AlarmFloodRule rule)
    {
        List<AlarmGroup> groups = [];
        foreach (IGrouping<AlarmKind, Alarm> kind in alarms
            .Where(alarm => !alarm.Status.IsSetAside && alarm.Status.State != AlarmState.Normal)
            .GroupBy(alarm => alarm.Kind))
        {
            List<Alarm> run = [];
            foreach (Alarm alarm in kind.OrderBy(alarm => alarm.Raised).ThenBy(alarm => alarm.VesselId, StringComparer.Ordinal))
            {
                if (run.Count > 0 && alarm.Raised - run[^1].Raised > rule.Window)
                {
                    Close(kind.Key, run);
                    run = [];
                }

                run.Add(alarm);
            }

            Close(kind.Key, run);
        }

        return [.. groups.OrderByDescending(group => group.Priority).ThenBy(group => group.First).ThenBy(group => group.Kind).ThenBy(group => group.Alarms[0].VesselId, StringComparer.Ordinal)];

        void Close(AlarmKind kind, List<Alarm> run)
        {
            if (run.Count >= rule.Vessels)
            {
                groups.Add(new AlarmGroup(kind, run));
            }
            else
            {
                groups.AddRange(run.Select(alarm => new AlarmGroup(kind, [alarm])));
            }
        }
    }
}
