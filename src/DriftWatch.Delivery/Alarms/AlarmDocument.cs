using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Delivery.Documents;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Priorities;
using DriftWatch.Plant.Safety;

namespace DriftWatch.Delivery.Alarms;

/// <summary>
/// The one document of an alarm notice, the same on every channel; described by docs/schema/alarm.schema.json. Around the
/// alarm stand the context attributes of CloudEvents 1.0 under their own names.
/// </summary>
public sealed record AlarmDocument
{
    /// <summary>Version of the document's form: the first number changes when a reader must change.</summary>
    public const string CurrentSchemaVersion = "1.0";

    /// <summary>Name of the schema of <see cref="CurrentSchemaVersion"/>.</summary>
    public const string SchemaId = "urn:driftwatch:schema:alarm:" + CurrentSchemaVersion;

    /// <summary><see cref="CurrentSchemaVersion"/> of the program that wrote it.</summary>
    public required string SchemaVersion { get; init; }

    /// <summary>Key of the notice: the same for every repetition.</summary>
    public required string Id { get; init; }

    /// <summary>Event type: <c>driftwatch.alarm.</c> and the news, such as <c>raised</c>.</summary>
    public required string Type { get; init; }

    /// <summary>URI reference of the vessel.</summary>
    public required string Source { get; init; }

    /// <summary>The vessel's id.</summary>
    public required string Subject { get; init; }

    /// <summary>When it came to be so, UTC.</summary>
    public required DateTimeOffset Time { get; init; }

    /// <summary>The alarm as it is now.</summary>
    public required AlarmContent Alarm { get; init; }

    /// <summary>The document of a notice.</summary>
    public static AlarmDocument From(AlarmNotice notice) => new()
    {
        SchemaVersion = CurrentSchemaVersion,
        Id = notice.Key,
        Type = "driftwatch.alarm." + JsonNamingPolicy.CamelCase.ConvertName(notice.News.ToString()),
        Source = $"/driftwatch/vessels/{Uri.EscapeDataString(notice.Alarm.VesselId)}",
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

    /// <summary>The document as JSON, UTF-8, indented.</summary>
    public byte[] ToUtf8Json() => JsonSerializer.SerializeToUtf8Bytes(this, AlarmJson.Readable.AlarmDocument);
}

[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    WriteIndented = true,
    Converters = [typeof(CamelCaseName<AlarmKind>), typeof(CamelCaseName<AlarmState>), typeof(CamelCaseName<Priority>), typeof(Rfc3339Utc)])]
[JsonSerializable(typeof(AlarmDocument))]
internal sealed partial class AlarmJson : JsonSerializerContext
{
    private static readonly Lazy<AlarmJson> Relaxed = new(() =>
        new AlarmJson(new JsonSerializerOptions(Default!.Options) { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping }));

    /// <summary>Quotes and signs stay as people read them: the document is a message, never part of a page.</summary>
    public static AlarmJson Readable => Relaxed.Value;
}
