namespace DriftWatch.Plant.Alarms;

/// <summary>Off-delays (IEC 62682): how long a condition must be gone before its alarm goes.</summary>
public sealed record AlarmOffDelays : AlarmDelays
{
    /// <summary>The usual values.</summary>
    public AlarmOffDelays()
    {
        PrechargeNearlyGone = TimeSpan.FromDays(1);
        BelowLowerLimit = TimeSpan.FromDays(1);
        FallingFasterThanAllowed = TimeSpan.FromDays(3);
        AboveUpperLimit = TimeSpan.FromDays(1);
        DataFault = TimeSpan.FromDays(1);
    }
}
