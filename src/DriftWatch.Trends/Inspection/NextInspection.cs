namespace DriftWatch.Trends.Inspection;

/// <summary>When the precharge is to be checked next.</summary>
/// <param name="Rung">How many checks without a loss lie behind since the charge: 0 for the first one due.</param>
/// <param name="Due">When it is due, UTC.</param>
/// <param name="AfterLoss">Whether it is due for a loss that was found.</param>
public readonly record struct NextInspection(int Rung, DateTimeOffset Due, bool AfterLoss = false);
