namespace DriftWatch.Plant.Register;

/// <summary>One thing wrong in a register file.</summary>
/// <param name="Place">
/// Where it stands: a path such as <c>vessels[3].precharge.lowerLimitBarGauge</c>, or <c>line 12, column 5</c> where the
/// text is no JSON.
/// </param>
/// <param name="VesselId">The vessel it belongs to, where that can be told.</param>
/// <param name="Problem">What is wrong, with the value found and the range allowed.</param>
/// <param name="Mend">How to mend it.</param>
public sealed record RegisterDefect(string Place, string? VesselId, string Problem, string Mend)
{
    /// <summary>The defect as one line.</summary>
    public override string ToString() =>
        VesselId is null ? $"{Place}: {Problem} {Mend}" : $"{Place} (vessel {VesselId}): {Problem} {Mend}";
}
