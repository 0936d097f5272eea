using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Delivery.Alarms;
using DriftWatch.Plant.Alarms;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Delivery.Documents;

/// <summary>How the documents are written: camelCase, enumerations by name, UTC instants as RFC 3339 with 'Z'.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    WriteIndented = true,
    Converters = [
        typeof(CamelCaseName<JobCause>), typeof(CamelCaseName<JobState>), typeof(CamelCaseName<JobEnd>), typeof(CamelCaseName<AlarmKind>),
        typeof(CamelCaseName<AlarmState>), typeof(CamelCaseName<Priority>), typeof(Rfc3339Utc)])]
[JsonSerializable(typeof(JobDocument))]
[JsonSerializable(typeof(AlarmDocument))]
internal sealed partial class DocumentJson : JsonSerializerContext
{
    /// <summary>Quotes and signs stay as people read them: the document is a file or a message, never part of a page.</summary>
    public static JavaScriptEncoder Signs => JavaScriptEncoder.UnsafeRelaxedJsonEscaping;

    /// <summary>The form of the documents.</summary>
    public static DocumentJson Readable => Relaxed.Value;

    // Made on first use: the order in which the parts of a class are set up is not defined.
    private static readonly Lazy<DocumentJson> Relaxed = new(() => new DocumentJson(new JsonSerializerOptions(Default!.Options) { Encoder = Signs }));

    /// <summary>The name of a value as the documents write it.</summary>
    public static string NameOf<T>(T value)
        where T : struct, Enum => JsonNamingPolicy.CamelCase.ConvertName(value.ToString());
}
