using System.Text.Json;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Documents;

/// <summary>
/// The one document of a job notice, the same on every channel; described by docs/schema/job.schema.json. Around the
/// job stand the context attributes of CloudEvents 1.0 under their own names, so that an envelope takes them as they are.
/// </summary>
public sealed record JobDocument
{
    /// <summary>Version of the document's form: the first number changes when a reader must change.</summary>
    public const string CurrentSchemaVersion = "2.1";

    /// <summary>Event type of a notice that only proves a channel.</summary>
    public const string TestType = "driftwatch.channel.test";

    /// <summary>Name of the schema of <see cref="CurrentSchemaVersion"/>.</summary>
    public const string SchemaId = "urn:driftwatch:schema:job:" + CurrentSchemaVersion;

    /// <summary><see cref="CurrentSchemaVersion"/> of the program that wrote it.</summary>
    public required string SchemaVersion { get; init; }

    /// <summary>Key of the notice: the same for every repetition, by which a receiver tells it from a new one.</summary>
    public required string Id { get; init; }

    /// <summary>Event type: <c>driftwatch.job.opened</c>, <c>driftwatch.job.updated</c>, <c>driftwatch.job.closed</c> or <see cref="TestType"/>.</summary>
    public required string Type { get; init; }

    /// <summary>URI reference of the vessel that the notice is about.</summary>
    public required string Source { get; init; }

    /// <summary>The vessel's id.</summary>
    public required string Subject { get; init; }

    /// <summary>Moment of the data that led to the notice, UTC.</summary>
    public required DateTimeOffset Time { get; init; }

    /// <summary>The job as it is now.</summary>
    public required JobContent Job { get; init; }

    /// <summary>The document of a notice.</summary>
    public static JobDocument From(JobNotice notice) => new()
    {
        SchemaVersion = CurrentSchemaVersion,
        Id = notice.Key,
        Type = notice.IsTest ? TestType : notice.State == JobState.Closed ? "driftwatch.job.closed" : Renews(notice) ? "driftwatch.job.updated" : "driftwatch.job.opened",
        Source = $"/driftwatch/vessels/{Uri.EscapeDataString(notice.Job.VesselId)}",
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

    /// <summary>The document as JSON, UTF-8, indented: people read the files too.</summary>
    public byte[] ToUtf8Json() => JsonSerializer.SerializeToUtf8Bytes(this, JobJson.Readable.JobDocument);
}
