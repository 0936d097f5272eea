using DriftWatch.Gas.Units;

namespace DriftWatch.Host.Charting;

/// <summary>Where charts are drawn, and in which unit.</summary>
internal sealed record ChartPlace(string Folder, PressureUnit Unit);
