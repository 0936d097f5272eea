using DriftWatch.Plant.Readings;

namespace DriftWatch.Storage;

/// <summary>Some of what an outside history has still to be told.</summary>
internal sealed class SpoolBatch
{
    /// <summary>Newest entry in it; 0 when it is empty.</summary>
    public long Sequence { get; set; }

    public List<VesselReading> Readings { get; } = [];

    public List<SpooledWindow> Windows { get; } = [];
}
