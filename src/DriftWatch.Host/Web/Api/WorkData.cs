using DriftWatch.Gas.Quantities;
using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;

namespace DriftWatch.Host.Web.Api;

/// <summary>A record of work, for programs.</summary>
internal sealed record WorkData(
    Guid Id,
    string VesselId,
    WorkKind Kind,
    DateTimeOffset At,
    string Who,
    double? GasPressureGaugePa,
    double? GasTemperatureK,
    bool IsolatedAndReleased,
    double? NitrogenKg,
    string GaugeId,
    string Note,
    string JobKey,
    RecordSource Source,
    string EnteredBy,
    DateTimeOffset Received,
    bool Counts,
    string? VoidedBy,
    string? VoidedBecause,
    double? PrechargeGaugePa,
    double? PrechargeExpandedUncertaintyPa,
    CheckMeaning? Meaning)
{
    private const double PascalsPerBar = 1e5;

    /// <summary>A record with what it means; its precharge is gauge at the reference temperature, the uncertainty with k = 2.</summary>
    public static WorkData Of(Vessel vessel, WorkEntry entry, CheckFinding? finding)
    {
        WorkRecord work = entry.Record;
        return new WorkData(
            work.Id, vessel.Id, work.Kind, work.At, work.Who, work.GasPressureBarGauge * PascalsPerBar, work.GasTemperatureCelsius + GasTemperature.IcePointKelvins, work.IsolatedAndReleased,
            work.NitrogenKg, work.GaugeId, work.Note, work.JobKey, work.Source, work.EnteredBy, work.Received, entry.Counts, entry.Voided?.Who, entry.Voided?.Why,
            finding?.Precharge.Pascals, finding?.ExpandedPa, finding?.Meaning);
    }

    /// <summary>What a program told, as it goes on record.</summary>
    public static WorkRecord Record(Guid id, string vesselId, WorkEntered entered, string person, DateTimeOffset now) => new()
    {
        Id = id,
        VesselId = vesselId,
        Kind = entered.Kind,
        At = entered.At.ToUniversalTime(),
        Who = entered.Who ?? person,
        GasPressureBarGauge = entered.GasPressureGaugePa / PascalsPerBar,
        GasTemperatureCelsius = entered.GasTemperatureK - GasTemperature.IcePointKelvins,
        IsolatedAndReleased = entered.IsolatedAndReleased,
        NitrogenKg = entered.NitrogenKg,
        GaugeId = entered.GaugeId ?? "",
        Note = entered.Note ?? "",
        Source = RecordSource.Api,
        EnteredBy = person,
        Received = now,
    };
}
