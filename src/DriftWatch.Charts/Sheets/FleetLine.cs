using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Charts.Sheets;

/// <summary>One vessel in the report of a fleet.</summary>
/// <param name="Vessel">The vessel.</param>
/// <param name="Assessment">What is said of it; null for nothing yet.</param>
/// <param name="Windows">Its windows in order of time, at least those of the month.</param>
/// <param name="Jobs">Its jobs, at least those that stand and those that the month brought or ended.</param>
public sealed record FleetLine(
    Vessel Vessel, Assessment? Assessment, IReadOnlyList<PrechargeWindow> Windows, IReadOnlyList<SheetJob> Jobs);
