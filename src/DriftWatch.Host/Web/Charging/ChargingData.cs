using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Charging;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Host.Web.Charging;

/// <summary>The charge help for programs, SI; pressures are gauge. Null where it does not apply.</summary>
public sealed record ChargingData(
    string VesselId,
    ChargeStep Step,
    double GasTemperatureK,
    double TargetGaugePa,
    double? NowGaugePa,
    DateTimeOffset? NowFromTrendOf,
    double? PrechargeGaugePa,
    double? FillToGaugePa,
    double? FillAtMostGaugePa,
    double? SettleAtGaugePa,
    double FillingSeconds,
    double? NitrogenKg,
    double? NitrogenStandardM3,
    int? BottleCount,
    bool NeedsBooster,
    double? FastBleedShowsGaugePa,
    IReadOnlyList<string> Cautions)
{
    internal static ChargingData Of(string vesselId, ChargeAnswer answer)
    {
        ChargePlan plan = answer.Plan;
        return new ChargingData(
            vesselId, plan.Step, plan.GasTemperature.Kelvins, plan.Target.Pascals, plan.Now?.Pascals, answer.FromTrend, plan.PrechargeNow?.Pascals,
            plan.FillTo?.Pascals, plan.FillAtMost?.Pascals, plan.SettleAt?.Pascals, plan.FillingTime.TotalSeconds,
            plan.Nitrogen?.KilogramsOfNitrogen, plan.Nitrogen?.VolumeAt(StandardCondition.Din1343).CubicMetres,
            plan.BottleCount, plan.NeedsBooster, plan.FastBleedShows?.Pascals, SafetyLines.All);
    }
}
