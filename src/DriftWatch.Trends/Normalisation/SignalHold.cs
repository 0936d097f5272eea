namespace DriftWatch.Trends.Normalisation;

/// <summary>How long a value stands for the moments after it: signals may be reported on change.</summary>
public static class SignalHold
{
    /// <summary>Of a temperature or a fluid-side pressure.</summary>
    public static TimeSpan Analog { get; } = TimeSpan.FromMinutes(30);

    /// <summary>Of a contact: they are commonly reported on change, with a daily refresh.</summary>
    public static TimeSpan Contact { get; } = TimeSpan.FromHours(25);
}
