namespace DriftWatch.Plant.Priorities;

/// <summary>
/// Priority by consequence and by the time left to act, the two measures of IEC 62682 (rationalisation). The grid is this
/// project's own.
/// </summary>
public static class PriorityGrid
{
    /// <summary>The priority of a case.</summary>
    public static Priority Of(Consequence consequence, TimeToAct time) => (consequence, time) switch
    {
        (Consequence.Severe, TimeToAct.Weeks) => Priority.Medium,
        (Consequence.Severe, _) => Priority.High,
        (Consequence.Moderate, TimeToAct.Hours) => Priority.High,
        (Consequence.Moderate, TimeToAct.Days) => Priority.Medium,
        (Consequence.Moderate, _) => Priority.Low,
        (_, TimeToAct.Hours) => Priority.Medium,
        _ => Priority.Low,
    };
}
