using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;

namespace DriftWatch.Host.Charting;

/// <summary>What a chart was drawn from; two that are equal would show the same.</summary>
/// <param name="Vessel">The vessel as it stood in the register.</param>
/// <param name="WindowChanges">How often its windows had changed.</param>
/// <param name="Assessment">What was said of it, as far as a chart can show it.</param>
internal sealed record DrawnChart(Vessel Vessel, long WindowChanges, Assessment Assessment)
{
    /// <summary>
    /// An assessment is made anew with every few readings. A chart tells its moment to the day, and nothing of when the vessel was
    /// heard last.
    /// </summary>
    public static DrawnChart Of(Vessel vessel, long windowChanges, Assessment assessment) =>
        new(vessel, windowChanges, assessment with { AsOf = assessment.AsOf.ToUniversalTime().Date, HeardLast = default });
}
