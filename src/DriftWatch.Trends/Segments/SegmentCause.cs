namespace DriftWatch.Trends.Segments;

/// <summary>Why a trend segment began.</summary>
public enum SegmentCause
{
    /// <summary>The first trusted window of the vessel.</summary>
    FirstWindow,

    /// <summary>A charge or bleed that is on record.</summary>
    RecordedCharge,

    /// <summary>A lasting step up that nobody recorded.</summary>
    UnrecordedCharge,

    /// <summary>A lasting step down: a bleed that nobody recorded, or a sudden loss.</summary>
    SuddenLoss,

    /// <summary>
    /// A transducer was replaced, moved or calibrated anew, by the record: the gas is the same, and nothing tells by how much
    /// the readings are not.
    /// </summary>
    RecordedTransducerChange,
}
