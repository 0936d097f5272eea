namespace DriftWatch.Host.Health;

/// <summary>How a part of the service stands; the worse, the greater.</summary>
public enum HealthState
{
    /// <summary>It does its work.</summary>
    Good,

    /// <summary>It does its work, but not all of it, or not for everyone.</summary>
    Degraded,

    /// <summary>It does not do its work; what it should have done waits.</summary>
    Failed,
}
