namespace DriftWatch.Study;

/// <summary>How the points of a trial err.</summary>
/// <param name="BudgetFreedom">
/// Degrees of freedom with which the budget of a trial is drawn: the true deviation is the stated one times sqrt(nu / chi2(nu)).
/// Infinite when the budget is exactly right.
/// </param>
/// <param name="TrueOverBudget">True deviation over the stated one, before it is drawn.</param>
/// <param name="OutlierShare">Share of points that are off by another <paramref name="OutlierSize"/>, up or down.</param>
/// <param name="Correlation">Correlation of one point's error with the next one's.</param>
/// <param name="OutlierSize">How far, in stated deviations.</param>
public sealed record World(
    double BudgetFreedom = double.PositiveInfinity, double TrueOverBudget = 1, double OutlierShare = 0, double Correlation = 0,
    double OutlierSize = 10)
{
    /// <summary>The budget is exactly right.</summary>
    public static World Right { get; } = new();

    /// <summary>The budget is as uncertain as the fit takes it to be.</summary>
    public static World AsStated { get; } = new(BudgetFreedom: 4);

    /// <summary>One point in twenty is grossly off.</summary>
    public static World Outliers { get; } = new(OutlierShare: 0.05);
}
