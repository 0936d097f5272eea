namespace DriftWatch.SamplePlant;

/// <summary>A loss of gas that holds from an instant on, until the next one.</summary>
/// <param name="From">When it begins.</param>
/// <param name="BarPerMonth">Fall of the precharge at reference temperature in its first month, bar; 0 for tight.</param>
/// <param name="Law">How it goes on after the first month.</param>
public sealed record Leak(DateTimeOffset From, double BarPerMonth, LeakLaw Law = LeakLaw.ConstantMass);
