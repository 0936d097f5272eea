namespace DriftWatch.Host.Assessing;

/// <summary>The time of day at the plant: the system's, or that of a replay.</summary>
public sealed class PlantClock(TimeProvider source)
{
    public DateTimeOffset Now => source.GetUtcNow();
}
