using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;

namespace DriftWatch.Gas.Sizing;

/// <summary>A precharge for a duty and its working range, carried over the temperature range by the real gas.</summary>
public sealed record PrechargeChoice
{
    private PrechargeChoice(
        WorkingConditions conditions, AccumulatorType type, AbsolutePressure atWarmest, AbsolutePressure atReference, AbsolutePressure atColdest)
    {
        Conditions = conditions;
        AtWarmest = atWarmest;
        AtReference = atReference;
        AtColdest = atColdest;
        HighestRatio = conditions.Highest.Pascals / atColdest.Pascals;
        RatioLimit = PressureRatioLimit.Highest(type);
    }

    /// <summary>The working range it was chosen for.</summary>
    public WorkingConditions Conditions { get; }

    /// <summary>Precharge, absolute, at the highest gas temperature, where the rule of the duty holds.</summary>
    public AbsolutePressure AtWarmest { get; }

    /// <summary>Precharge, absolute, at the reference temperature: the figure to state and to charge to.</summary>
    public AbsolutePressure AtReference { get; }

    /// <summary>Precharge, absolute, at the lowest gas temperature, where the vessel is stretched most.</summary>
    public AbsolutePressure AtColdest { get; }

    /// <summary>p2 over the precharge at the lowest gas temperature, both absolute, a pure number.</summary>
    public double HighestRatio { get; }

    /// <summary>What the type bears by common practice, a pure number; null for any.</summary>
    public double? RatioLimit { get; }

    /// <summary>
    /// Whether the type bears the ratio. If not, the working range is too wide for it: take another type, a second vessel, or a narrower
    /// range.
    /// </summary>
    public bool IsWithinRatioLimit => RatioLimit is not { } limit || HighestRatio <= limit;

    /// <summary>Chooses the precharge by the rule of the duty (see <see cref="PrechargeRule"/>, common practice).</summary>
    /// <param name="conditions">Working range.</param>
    /// <param name="duty">What the accumulator is there for.</param>
    /// <param name="type">Type of the accumulator.</param>
    /// <param name="reference">Reference temperature of the precharge, 233 to 373.15 K; the trade states 20 degrees C.</param>
    /// <exception cref="OutsideNitrogenRangeException">The reference temperature is outside the nitrogen range.</exception>
    /// <exception cref="ArgumentOutOfRangeException">No such duty or type.</exception>
    public static PrechargeChoice For(WorkingConditions conditions, Duty duty, AccumulatorType type, GasTemperature reference)
    {
        ArgumentNullException.ThrowIfNull(conditions);
        double warmPa = PrechargeRule.FractionOfWorkingPressure(duty) * conditions.Lowest.Pascals;
        double warmK = conditions.Warmest.Kelvins;
        return new PrechargeChoice(
            conditions,
            type,
            AbsolutePressure.FromPascals(warmPa),
            AbsolutePressure.FromPascals(IsochoricCorrection.PressureAtReferencePa(warmPa, warmK, reference.Kelvins)),
            AbsolutePressure.FromPascals(IsochoricCorrection.PressureAtReferencePa(warmPa, warmK, conditions.Coldest.Kelvins)));
    }
}
