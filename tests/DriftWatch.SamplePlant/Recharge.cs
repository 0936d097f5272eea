namespace DriftWatch.SamplePlant;

/// <summary>Someone fills or bleeds the gas side.</summary>
/// <param name="At">When.</param>
/// <param name="ToBarGauge">Precharge afterwards, bar gauge at reference temperature.</param>
/// <param name="OnRecord">Whether it was written down, so that the register knows it.</param>
public sealed record Recharge(DateTimeOffset At, double ToBarGauge, bool OnRecord);
