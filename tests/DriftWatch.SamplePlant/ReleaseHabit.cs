namespace DriftWatch.SamplePlant;

/// <summary>When the people of the plant bleed the fluid side down.</summary>
public enum ReleaseHabit
{
    /// <summary>After every shift.</summary>
    EveryStop,

    /// <summary>Only before days without work; on other nights the pressure stays shut in.</summary>
    FreeDays,

    /// <summary>In a break of 25 to 60 minutes within each shift; nights and free days stay under pressure.</summary>
    Break,

    /// <summary>Once a week, Saturday morning, for service; else never.</summary>
    WeeklyService,
}
