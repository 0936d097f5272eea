using DriftWatch.Plant.Jobs;
using DriftWatch.Trends.Inspection;
using DriftWatch.Trends.Segments;
using DriftWatch.Trends.Vessels;

namespace DriftWatch.Plant.Register;

/// <summary>A vessel as it stands in the register.</summary>
/// <param name="Id">Key of all its records: letters, digits, '-', '_', '.'; unique in the register.</param>
/// <param name="Description">What it is, for the reader.</param>
/// <param name="Place">Where it is, for the technician.</param>
/// <param name="Specification">What its precharge is judged by.</param>
/// <param name="Sources">Which topic and field each of its signals comes from.</param>
/// <param name="RecordedCharges">Fills and bleeds on record, ascending, one of a moment, with the values left where they are on record.</param>
public sealed record Vessel(
    string Id,
    string Description,
    string Place,
    VesselSpecification Specification,
    IReadOnlyList<SignalSource> Sources,
    IReadOnlyList<PrechargeCheck> RecordedCharges)
{
    /// <summary>Checks by hand on record, ascending.</summary>
    public IReadOnlyList<PrechargeCheck> RecordedChecks { get; init; } = [];

    /// <summary>Instants (UTC, ascending) at which a gas-side transducer was replaced, moved or calibrated anew.</summary>
    public IReadOnlyList<DateTimeOffset> TransducerChanges { get; init; } = [];

    /// <summary>All on record that ends a trend segment, in order of time; of one moment the charge comes first.</summary>
    public IReadOnlyList<GasSideWork> GasSideWork =>
    [
        .. RecordedCharges.Select(charge => new GasSideWork(charge.At, GasSideWorkKind.Charge))
            .Concat(TransducerChanges.Select(at => new GasSideWork(at, GasSideWorkKind.TransducerChange)))
            .OrderBy(work => work.At),
    ];

    /// <summary>What maintenance queues have answered to its jobs, by the moment of the answer.</summary>
    public IReadOnlyList<JobAnswer> Answers { get; init; } = [];

    /// <summary>When the plant can be worked on.</summary>
    public PlantCalendar Calendar { get; init; } = PlantCalendar.Default;
}
