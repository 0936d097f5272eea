namespace DriftWatch.Gas.Sizing;

/// <summary>
/// Fraction of the working pressure that the precharge has at the highest gas temperature. Common practice (no single source); the
/// maker's figure for the vessel comes first.
/// </summary>
public static class PrechargeRule
{
    /// <summary>
    /// Precharge over working pressure, both absolute, a pure number: 0.9 of p1 for energy storage, so that the separator stays off the
    /// fluid port; 0.7 of the mean pressure for pulsation damping (practice goes from 0.6 to 0.75 or 0.8); 0.7 of the normal pressure for
    /// shock absorption (practice goes from 0.6 to 0.9).
    /// </summary>
    /// <param name="duty">Duty of the accumulator.</param>
    /// <exception cref="ArgumentOutOfRangeException">No such duty.</exception>
    public static double FractionOfWorkingPressure(Duty duty) => duty switch
    {
        Duty.EnergyStorage => 0.9,
        Duty.PulsationDamping => 0.7,
        Duty.ShockAbsorption => 0.7,
        _ => throw new ArgumentOutOfRangeException(nameof(duty), duty, "Give one of the duties."),
    };
}
