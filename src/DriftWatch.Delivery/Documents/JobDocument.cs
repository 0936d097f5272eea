using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Documents;

/// <summary>
/// The one document of a job notice, the same on every channel; described by docs/schema/job.schema.json. Its type is
/// <c>driftwatch.job.opened</c>, <c>driftwatch.job.updated</c>, <c>driftwatch.job.closed</c> or <see cref="TestType"/>; its
/// time the moment of the data that led to the notice.
/// </summary>
public sealed record JobDocument : NoticeDocument
{
    /// <summary>Version of the document's form: the first number changes when a reader must change.</summary>
    public const string CurrentSchemaVersion = "2.1";

    /// <summary>Event type of a notice that only proves a channel.</summary>
    public const string TestType = "driftwatch.channel.test";

    /// <summary>Name of the schema of <see cref="CurrentSchemaVersion"/>.</summary>
    public const string SchemaId = "urn:driftwatch:schema:job:" + CurrentSchemaVersion;

    /// <summary>The job as it is now.</summary>
    [JsonPropertyOrder(1)]
    public required JobContent Job { get; init; }

    internal override string DataSchema => SchemaId;

    /// <summary>The document of a notice.</summary>
    public static JobDocument From(JobNotice notice) => new()
    {
        SchemaVersion = CurrentSchemaVersion,
        Id = notice.Key,
        Type = notice.IsTest ? TestType : notice.State == JobState.Closed ? "driftwatch.job.closed" : Renews(notice) ? "driftwatch.job.updated" : "driftwatch.job.opened",
        Source = SourceOf(notice.Job.VesselId),
        Subject = notice.Job.VesselId,
        Time = notice.At.ToUniversalTime(),
        Job = new JobContent
        {
            Key = notice.Job.Key,
            Revision = notice.Job.Revision,
            State = notice.State,
            ClosedBecause = notice.State == JobState.Closed ? notice.Why : null,
            ClosedAs = notice.State == JobState.Closed ? notice.End ?? JobEnd.CauseEnded : null,
            RenewedBecause = Renews(notice) ? notice.Why : null,
            Taken = MarkOf(notice.Job.Taken),
            ReportedDone = MarkOf(notice.Job.ReportedDone),
            Priority = notice.Job.Priority,
            Vessel = new VesselContent(notice.Job.VesselId, notice.Job.VesselDescription, notice.Job.VesselPlace),
            Cause = notice.Job.Cause,
            Reason = notice.Job.Reason,
            Raised = notice.Job.Raised.ToUniversalTime(),
            Due = notice.Job.Due.ToUniversalTime(),
            DueReason = notice.Job.DueReason,
            LatestDue = (notice.Job.LatestDue ?? notice.Job.Due).ToUniversalTime(),
            PlannedStop = notice.Job.PlannedStop?.ToUniversalTime(),
            ChartId = notice.Job.ChartId.Length > 0 ? notice.Job.ChartId : notice.Job.VesselId,
            LostUsableVolumePercent = Percent(notice.Job.LostUsableShare),
            LostUsableVolumeAtLowerLimitPercent = Percent(notice.Job.LostUsableShareAtLowerLimit),
            LowerLimitReached = notice.Job.LowerLimitReached?.ToUniversalTime(),
            RecommendedRecharge = notice.Job.RecommendedRecharge?.ToUniversalTime(),
            Isolation = notice.Job.Isolation.Length > 0 ? notice.Job.Isolation : SafetyLines.Isolation,
            Evidence = notice.Job.Evidence,
            Steps = notice.Job.Steps,
            ChargingTargets = notice.Job.ChargingTargets,
            Filling = notice.Job.Filling,
            NitrogenKg = notice.Job.NitrogenKg,
            NitrogenStandardLitres = notice.Job.NitrogenStandardLitres,
            Parts = notice.Job.Parts,
            RecordAfter = notice.Job.RecordAfter,
            // No document that asks for work leaves without the cautions, whatever the job says.
            Cautions = notice.Job.Cautions.Count > 0 ? notice.Job.Cautions : SafetyLines.All,
        },
    };

    private static JobMark? MarkOf(JobMark? mark) => mark is null ? null : mark with { At = mark.At.ToUniversalTime() };

    /// <summary>An open job is told with a reason only when it stood before and is written anew.</summary>
    private static bool Renews(JobNotice notice) => notice.State == JobState.Open && notice.Why.Length > 0;

    private static double? Percent(double? share) => share is { } known ? Math.Round(100 * known, 1) : null;

    /// <inheritdoc/>
    public override byte[] ToUtf8Json() => JsonSerializer.SerializeToUtf8Bytes(this, DocumentJson.Readable.JobDocument);
}
