namespace DriftWatch.Study;

/// <summary>What the lives gave.</summary>
/// <param name="Lives">Lives looked at.</param>
/// <param name="Called">Lives in which the vessel was ever called 'falling faster than allowed'.</param>
/// <param name="Changed">Lives in which the loss rate was ever said to have changed.</param>
public readonly record struct LifeFigures(int Lives, int Called, int Changed);
