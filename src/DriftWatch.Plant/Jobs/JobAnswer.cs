using DriftWatch.Plant.Records;

namespace DriftWatch.Plant.Jobs;

/// <summary>An answer of a maintenance queue to a job.</summary>
/// <param name="Id">Id that the sender gave it: the same answer sent again has the same.</param>
/// <param name="JobKey">Key of the job.</param>
/// <param name="Kind">What it says.</param>
/// <param name="Who">Who says so.</param>
/// <param name="At">When it was so, UTC.</param>
public sealed record JobAnswer(string Id, string JobKey, AnswerKind Kind, string Who, DateTimeOffset At)
{
    /// <summary>Id of the vessel whose job it answers: the key begins with it.</summary>
    public string VesselId => JobKey[..Math.Max(0, JobKey.IndexOf('/', StringComparison.Ordinal))];

    /// <summary>In the sender's words; empty for none.</summary>
    public string Remark { get; init; } = "";

    /// <summary>What was done to the gas side; null when the answer holds no values.</summary>
    public AnswerWork? Work { get; init; }

    /// <summary>Gauge pressure of the gas afterwards, bar, with the fluid side released; there when <see cref="Work"/> is.</summary>
    public double? GasPressureBarGauge { get; init; }

    /// <summary>Gas temperature at that pressure, degrees C; there when <see cref="Work"/> is.</summary>
    public double? GasTemperatureCelsius { get; init; }

    /// <summary>The work that it puts on record, the same at every repetition; null where it holds no values.</summary>
    /// <param name="authority">What vouches for the sender.</param>
    /// <param name="received">When it was received, UTC.</param>
    public WorkRecord? ToWork(string authority, DateTimeOffset received) => Work is not { } work ? null : new WorkRecord
    {
        Id = RecordId.Of("answer", Id),
        VesselId = VesselId,
        Kind = work == AnswerWork.Charged ? WorkKind.Charge : WorkKind.Check,
        At = At,
        Who = Who,
        GasPressureBarGauge = GasPressureBarGauge,
        GasTemperatureCelsius = GasTemperatureCelsius,
        IsolatedAndReleased = true, // The document says so of its values.
        Note = Remark,
        JobKey = JobKey,
        Source = RecordSource.Answer,
        EnteredBy = authority,
        Received = received,
    };
}
