using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Charging;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Host.Web.Charging;

/// <summary>The charge help for programs, SI; pressures are gauge. Null where it does not apply.</summary>
public sealed record ChargingData(
    string VesselId,
    ChargeStep Step,
    string? SeparatorCheck,
    double GasTemperatureK,
    double TargetGaugePa,
    double? NowGaugePa,
    DateTimeOffset? NowFromTrendOf,
    DateTimeOffset? NowFromCheckOf,
    double? PrechargeGaugePa,
    double? FillToGaugePa,
    double? FillAtMostGaugePa,
    bool FastFillingRunsCold,
    double? SettleAtGaugePa,
    double FillingSeconds,
    double? NitrogenKg,
    double? NitrogenStandardM3,
    int? BottleCount,
    bool NeedsBooster,
    double? FastBleedShowsGaugePa,
    IReadOnlyList<string> Cautions)
{
    internal static ChargingData Of(Vessel vessel, ChargeAnswer answer)
    {
        ChargePlan plan = answer.Plan;
        return new ChargingData(
            vessel.Id, plan.Step, plan.IsSeparatorSuspect ? Plant.Advice.SeparatorCheck.BeforeCharging(vessel.Specification.Type) : null,
            plan.GasTemperature.Kelvins, plan.Target.Pascals, plan.Now?.Pascals, answer.FromTrend, answer.FromCheck, plan.PrechargeNow?.Pascals,
            plan.FillTo?.Pascals, plan.FillAtMost?.Pascals, plan.FastFillingRunsCold, plan.SettleAt?.Pascals, plan.FillingTime.TotalSeconds,
            plan.Nitrogen?.KilogramsOfNitrogen, plan.Nitrogen?.VolumeAt(StandardCondition.Din1343).CubicMetres,
            plan.BottleCount, plan.NeedsBooster, plan.FastBleedShows?.Pascals, SafetyLines.All);
    }
}
