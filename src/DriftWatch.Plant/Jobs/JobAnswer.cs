namespace DriftWatch.Plant.Jobs;

/// <summary>An answer of a maintenance queue to a job.</summary>
/// <param name="Id">Id that the sender gave it: the same answer sent again has the same.</param>
/// <param name="JobKey">Key of the job.</param>
/// <param name="Kind">What it says.</param>
/// <param name="Who">Who says so.</param>
/// <param name="At">When it was so, UTC.</param>
public sealed record JobAnswer(string Id, string JobKey, AnswerKind Kind, string Who, DateTimeOffset At)
{
    /// <summary>In the sender's words; empty for none.</summary>
    public string Remark { get; init; } = "";

    /// <summary>What was done to the gas side; null when the answer holds no values.</summary>
    public AnswerWork? Work { get; init; }

    /// <summary>Gauge pressure of the gas afterwards, bar, with the fluid side released; there when <see cref="Work"/> is.</summary>
    public double? GasPressureBarGauge { get; init; }

    /// <summary>Gas temperature at that pressure, degrees C; there when <see cref="Work"/> is.</summary>
    public double? GasTemperatureCelsius { get; init; }
}
