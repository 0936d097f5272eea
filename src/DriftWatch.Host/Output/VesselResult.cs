using DriftWatch.Plant.Register;
using DriftWatch.Trends.Verdicts;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Output;

/// <summary>A vessel, its windows and what is said of it.</summary>
internal sealed record VesselResult(Vessel Vessel, IReadOnlyList<PrechargeWindow> Windows, Assessment Assessment);
