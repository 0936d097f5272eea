using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Alarms;

/// <summary>
/// The one document of an alarm notice, the same on every channel; described by docs/schema/alarm.schema.json. Its type is
/// <c>driftwatch.alarm.</c> and the news, such as <c>raised</c>.
/// </summary>
public sealed record AlarmDocument : NoticeDocument
{
    /// <summary>Version of the document's form: the first number changes when a reader must change.</summary>
    public const string CurrentSchemaVersion = "1.0";

    /// <summary>Name of the schema of <see cref="CurrentSchemaVersion"/>.</summary>
    public const string SchemaId = "urn:driftwatch:schema:alarm:" + CurrentSchemaVersion;

    /// <summary>The alarm as it is now.</summary>
    [JsonPropertyOrder(1)]
    public required AlarmContent Alarm { get; init; }

    internal override string DataSchema => SchemaId;

    /// <summary>The document of a notice.</summary>
    public static AlarmDocument From(AlarmNotice notice) => new()
    {
        SchemaVersion = CurrentSchemaVersion,
        Id = notice.Key,
        Type = "driftwatch.alarm." + DocumentJson.NameOf(notice.News),
        Source = SourceOf(notice.Alarm.VesselId),
        Subject = notice.Alarm.VesselId,
        Time = notice.At.ToUniversalTime(),
        Alarm = new AlarmContent
        {
            Revision = notice.Revision,
            VesselId = notice.Alarm.VesselId,
            Place = notice.Place,
            Kind = notice.Alarm.Kind,
            State = notice.Alarm.Status.State,
            ConditionStands = notice.Alarm.Status.ConditionOn,
            Priority = notice.Alarm.Priority,
            Raised = notice.Alarm.Raised == DateTimeOffset.MinValue ? null : notice.Alarm.Raised.ToUniversalTime(),
            Evidence = notice.Alarm.Why,
            By = notice.By,
            Because = notice.Because,
            ShelvedUntil = notice.Alarm.ShelvedUntil?.ToUniversalTime(),
            Cautions = SafetyLines.All,
        },
    };

    /// <inheritdoc/>
    public override byte[] ToUtf8Json() => JsonSerializer.SerializeToUtf8Bytes(this, DocumentJson.Readable.AlarmDocument);
}
