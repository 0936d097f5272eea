using DriftWatch.Trends.Windows;

namespace DriftWatch.Storage;

/// <summary>A window on its way to an outside history.</summary>
/// <param name="VesselId">The vessel.</param>
/// <param name="Window">The window.</param>
/// <param name="Withdrawn">Whether readings that came late have shown that there is no such window.</param>
internal readonly record struct SpooledWindow(string VesselId, PrechargeWindow Window, bool Withdrawn);
