using DriftWatch.Gas.Charging;
using DriftWatch.Gas.Nitrogen;
using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Priorities;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Charging;

/// <summary>
/// How a vessel is brought to its nominal precharge at today's gas temperature: fill until the gauge shows X, let it cool to Y,
/// bleed to Z. Real gas; fluid side released. Gauge pressures are those that the charging gauge shows at the moment named.
/// </summary>
public sealed record ChargePlan
{
    /// <summary>How far above the target the gas settles before the bleed: the little above of common practice, 1 % of the absolute pressure.</summary>
    public const double Above = 0.01;

    /// <summary>Below this share of the target nothing is done.</summary>
    private const double Alike = 0.001;

    private ChargePlan(GasTemperature gas, GaugePressure target) => (GasTemperature, Target) = (gas, target);

    /// <summary>What is to be done.</summary>
    public ChargeStep Step { get; private init; }

    /// <summary>The gas temperature that all of it holds for: that of shell and gas at rest.</summary>
    public GasTemperature GasTemperature { get; }

    /// <summary>Z: what the gauge shows at this temperature when the vessel has its nominal precharge.</summary>
    public GaugePressure Target { get; }

    /// <summary>What the gauge shows, or should show, now; null where it is not known.</summary>
    public GaugePressure? Now { get; private init; }

    /// <summary>The precharge at the reference temperature behind it; null where it is not known.</summary>
    public GaugePressure? PrechargeNow { get; private init; }

    /// <summary>
    /// X: what the gauge shows at the end of a filling that takes <see cref="FillingTime"/>; null for no filling, bottles that do not reach it,
    /// or where it would pass the highest working pressure (<see cref="PassesHighestWorking"/>).
    /// </summary>
    public GaugePressure? FillTo { get; private init; }

    /// <summary>
    /// Never fill above: what the gauge shows at the end of the fastest filling, which trades no heat, or <see cref="FillTo"/> where that
    /// is greater or the bottles would run too cold; without either <see cref="SettleAt"/>. No more than the highest working pressure, where
    /// that is known and above <see cref="SettleAt"/>: what the vessel bears beyond it is not known here. Null for no filling.
    /// </summary>
    public GaugePressure? FillAtMost { get; private init; }

    /// <summary>Whether the fastest filling would run the bottles too cold, below the range of the nitrogen equation or the pressure needed.</summary>
    public bool FastFillingRunsCold { get; private init; }

    /// <summary>Whether a filling in <see cref="FillingTime"/> would show more than the highest working pressure before it cools: a slower one shows less.</summary>
    public bool PassesHighestWorking { get; private init; }

    /// <summary>Whether nearly all gas is gone, or was by the last window, so that the separator may have failed.</summary>
    public bool IsSeparatorSuspect { get; private init; }

    /// <summary>Y: what it has settled to before the bleed; null for no filling.</summary>
    public GaugePressure? SettleAt { get; private init; }

    /// <summary>How long the filling takes.</summary>
    public TimeSpan FillingTime { get; private init; }

    /// <summary>Nitrogen that goes in up to <see cref="SettleAt"/>, or out; null for none or not known.</summary>
    public AmountOfGas? Nitrogen { get; private init; }

    /// <summary>Fresh bottles, one after the other; null for none needed or bottles that do not reach it by their own pressure.</summary>
    public int? BottleCount { get; private init; }

    /// <summary>Whether the bottles do not reach it by their own pressure: a booster made for nitrogen, or fuller bottles.</summary>
    public bool NeedsBooster { get; private init; }

    /// <summary>
    /// What the gauge shows at the end of a bleed too fast for heat exchange, which settles at the target; null for no bleed, or where the gas
    /// would come so cold that it may condense.
    /// </summary>
    public GaugePressure? FastBleedShows { get; private init; }

    /// <summary>Makes the plan.</summary>
    /// <param name="vessel">The vessel.</param>
    /// <param name="gas">Temperature of gas and shell, 233 to 373.15 K.</param>
    /// <param name="now">What the gauge shows now at that temperature; null where it was not read.</param>
    /// <param name="bottles">The bottles at hand.</param>
    /// <param name="fillingTime">How long the filling takes; zero or more.</param>
    /// <param name="separator">What is known of the separator: a suspect one is looked at before there is a plan for filling.</param>
    /// <exception cref="OutsideNitrogenRangeException">A temperature or pressure outside the nitrogen range.</exception>
    /// <exception cref="ArgumentOutOfRangeException">A gauge reading below vacuum, a bottle without volume, a negative time.</exception>
    public static ChargePlan For(
        VesselSpecification vessel, GasTemperature gas, GaugePressure? now, GasBottles bottles, TimeSpan fillingTime,
        SeparatorStanding separator = SeparatorStanding.ByPressure)
    {
        ArgumentNullException.ThrowIfNull(vessel);
        ArgumentOutOfRangeException.ThrowIfLessThan(fillingTime, TimeSpan.Zero);
        GaugePressure target = ChargingTarget.GaugePressureAt(
            gas, vessel.NominalPrecharge.ToAbsolute(vessel.Ambient), vessel.ReferenceTemperature, vessel.Ambient);
        var plan = new ChargePlan(gas, target) { FillingTime = fillingTime };
        if (now is not { } shown)
        {
            return plan;
        }

        GaugePressure precharge = ChargingTarget.PrechargeAtReference(shown, gas, vessel.ReferenceTemperature, vessel.Ambient).ToGauge(vessel.Ambient);
        plan = plan with
        {
            Now = shown,
            PrechargeNow = precharge,
            IsSeparatorSuspect = separator == SeparatorStanding.Suspect || VesselRisk.NearlyGone(vessel, precharge),
        };
        double wanted = target.ToAbsolute(vessel.Ambient).Pascals;
        double difference = wanted - shown.ToAbsolute(vessel.Ambient).Pascals;
        return Math.Abs(difference) <= Alike * wanted ? plan with { Step = ChargeStep.Leave }
            : difference < 0 ? plan.Bled(vessel)
            : plan.IsSeparatorSuspect && separator != SeparatorStanding.FoundSound ? plan with { Step = ChargeStep.CheckSeparator }
            : plan.Filled(vessel, bottles);
    }

    private ChargePlan Filled(VesselSpecification vessel, GasBottles bottles)
    {
        // A vessel that is open holds ambient pressure; a gauge that errs below it says nothing else.
        AbsolutePressure present = AbsolutePressure.FromPascals(Math.Max(Now!.Value.ToAbsolute(vessel.Ambient).Pascals, vessel.Ambient.Pascals));
        var space = new GasSpace(vessel.GasVolume, present, GasTemperature);
        AbsolutePressure settled = AbsolutePressure.FromPascals((1 + Above) * Target.ToAbsolute(vessel.Ambient).Pascals);
        var bottle = new GasSpace(bottles.Volume, bottles.Pressure.ToAbsolute(vessel.Ambient), GasBottles.MarkedAt);
        CascadeOutcome cascade = BottleCascade.WithFreshBottles(space, bottle, settled);
        ChargePlan plan = this with
        {
            Step = ChargeStep.Fill,
            SettleAt = settled.ToGauge(vessel.Ambient),
            Nitrogen = AmountOfGas.FromMoles((space with { Pressure = settled }).Content.Moles - space.Content.Moles),
        };
        if (!cascade.IsReached)
        {
            return plan with { NeedsBooster = true, FillAtMost = plan.SettleAt };
        }

        AbsolutePressure? fillTo = FillingEnd.Of(space, bottle, cascade.Uses.Count, settled, FillingTime);
        AbsolutePressure? fastest = FillingEnd.Of(space, bottle, cascade.Uses.Count, settled, TimeSpan.Zero);
        double most = (FillingEnd.Greater(fastest, fillTo) ?? settled).Pascals;
        double roof = Math.Max(vessel.HighestWorkingPressure?.ToAbsolute(vessel.Ambient).Pascals ?? most, settled.Pascals);
        bool passes = fillTo?.Pascals > roof;
        return plan with
        {
            BottleCount = cascade.Uses.Count,
            FillTo = passes ? null : fillTo?.ToGauge(vessel.Ambient),
            FillAtMost = AbsolutePressure.FromPascals(Math.Min(most, roof)).ToGauge(vessel.Ambient),
            PassesHighestWorking = passes,
            FastFillingRunsCold = fastest is null,
        };
    }

    private ChargePlan Bled(VesselSpecification vessel)
    {
        var space = new GasSpace(vessel.GasVolume, Now!.Value.ToAbsolute(vessel.Ambient), GasTemperature);
        AbsolutePressure target = Target.ToAbsolute(vessel.Ambient);
        return this with
        {
            Step = ChargeStep.Bleed,
            Nitrogen = AmountOfGas.FromMoles(space.Content.Moles - (space with { Pressure = target }).Content.Moles),
            FastBleedShows = FastBleed(space, target)?.ToGauge(vessel.Ambient),
        };
    }

    /// <summary>Null where the gas would come so cold that it may condense: the slow bleed, which is the one to make, ends at the target all the same.</summary>
    private static AbsolutePressure? FastBleed(GasSpace space, AbsolutePressure target)
    {
        try
        {
            return Bleeding.ToSettled(space, target).PressureNow;
        }
        catch (OutsideNitrogenRangeException)
        {
            return null;
        }
    }
}
