using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Files;

/// <summary>A column of a logger file that holds a signal.</summary>
/// <param name="Header">Its header, compared without regard to case and outer blanks.</param>
/// <param name="Signal">The signal.</param>
/// <param name="Unit">Unit of its numbers: Pa, hPa, kPa, MPa, bar, psi; K, Cel, degF; empty for a contact.</param>
/// <param name="Vessel">Id of the vessel it belongs to, where one row holds several vessels; else null.</param>
public sealed record LoggerColumn(string Header, Signal Signal, string Unit, string? Vessel = null);
