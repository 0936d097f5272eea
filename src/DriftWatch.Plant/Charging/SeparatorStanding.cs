namespace DriftWatch.Plant.Charging;

/// <summary>What is known of the separator before a charge.</summary>
public enum SeparatorStanding
{
    /// <summary>Nothing but what the pressure tells: with nearly no gas left it may have failed.</summary>
    ByPressure,

    /// <summary>Nearly all gas was gone by the last window, whatever the gauge shows now: it may have failed.</summary>
    Suspect,

    /// <summary>Somebody has looked and found it sound.</summary>
    FoundSound,
}
