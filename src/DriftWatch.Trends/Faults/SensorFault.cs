using DriftWatch.Trends.Readings;

namespace DriftWatch.Trends.Faults;

/// <summary>A fault of a signal as seen from its readings.</summary>
/// <param name="Signal">The signal.</param>
/// <param name="Status">What it means for the use of the signal.</param>
/// <param name="Kind">What is wrong.</param>
/// <param name="Since">Since when, UTC.</param>
/// <param name="Evidence">What shows it and what to check, in one sentence.</param>
public sealed record SensorFault(Signal Signal, Ne107Status Status, FaultKind Kind, DateTimeOffset Since, string Evidence);
