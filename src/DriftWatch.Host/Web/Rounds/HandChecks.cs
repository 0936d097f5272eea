using DriftWatch.Plant.Records;
using DriftWatch.Plant.Register;
using DriftWatch.Plant.Rounds;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Windows;

namespace DriftWatch.Host.Web.Rounds;

/// <summary>The checks by hand of a vessel against its transducer, with the gauges that are on record.</summary>
internal static class HandChecks
{
    public static TransducerDrift Drift(Desk desk, Vessel vessel, IReadOnlyList<PrechargeWindow> windows, DateTimeOffset asOf) =>
        HandAgainstTransducer.Drift(vessel, windows, HandInstruments.Common, Gauges(desk, vessel), asOf);

    public static IReadOnlyList<TransducerComparison> Compare(Desk desk, Vessel vessel, IReadOnlyList<PrechargeWindow> windows, DateTimeOffset asOf) =>
        HandAgainstTransducer.Compare(vessel, windows, HandInstruments.Common, Gauges(desk, vessel), asOf);

    private static Func<DateTimeOffset, string> Gauges(Desk desk, Vessel vessel)
    {
        Dictionary<DateTimeOffset, string> gauges = desk.Store.WorkOf(vessel.Id)
            .Where(entry => entry.Counts && entry.Record.Kind == WorkKind.Check)
            .GroupBy(entry => entry.Record.At)
            .ToDictionary(entries => entries.Key, entries => entries.First().Record.GaugeId);
        return at => gauges.GetValueOrDefault(at, "");
    }
}
