using DriftWatch.Plant.Records;

namespace DriftWatch.Plant.Register;

/// <summary>One field of the register that somebody changed.</summary>
/// <param name="At">When the change was taken in, UTC.</param>
/// <param name="Who">Who made it; empty where that is not known (a file changed by hand).</param>
/// <param name="Source">The way it came.</param>
/// <param name="VesselId">The vessel; empty for what stands beside the vessels.</param>
/// <param name="Field">Path of the field within the vessel or the file, such as <c>precharge.lowerLimitBarGauge</c>.</param>
/// <param name="Before">The value before, as JSON; null where there was none.</param>
/// <param name="After">The value now, as JSON; null where there is none.</param>
public sealed record RegisterAuditEntry(
    DateTimeOffset At, string Who, RecordSource Source, string VesselId, string Field, string? Before, string? After);
