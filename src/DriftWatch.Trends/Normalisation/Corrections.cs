using System.Collections.Concurrent;
using DriftWatch.Gas.Nitrogen;

namespace DriftWatch.Trends.Normalisation;

/// <summary>One fast correction for each reference temperature: vessels of a plant share few of them.</summary>
internal static class Corrections
{
    private static readonly ConcurrentDictionary<double, FastIsochoricCorrection> Made = new();

    public static FastIsochoricCorrection For(double referenceTemperatureK) =>
        Made.GetOrAdd(referenceTemperatureK, kelvins => new FastIsochoricCorrection(kelvins));
}
