namespace DriftWatch.Plant.Alarms;

/// <summary>On-delays (IEC 62682): how long a condition must stand before its alarm comes.</summary>
public sealed record AlarmOnDelays : AlarmDelays
{
    /// <summary>The usual values.</summary>
    public AlarmOnDelays()
    {
        BelowLowerLimit = TimeSpan.FromHours(6);
        AboveUpperLimit = TimeSpan.FromHours(6);
    }
}
