using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Priorities;

namespace DriftWatch.Delivery.Documents;

/// <summary>How a job document is written: camelCase, enumerations by name, UTC instants as RFC 3339 with 'Z'.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    WriteIndented = true,
    Converters = [typeof(CamelCaseName<JobCause>), typeof(CamelCaseName<JobState>), typeof(CamelCaseName<JobEnd>), typeof(CamelCaseName<Priority>), typeof(Rfc3339Utc)])]
[JsonSerializable(typeof(JobDocument))]
internal sealed partial class JobJson : JsonSerializerContext
{
    /// <summary>Quotes and signs stay as people read them: the document is a file or a message, never part of a page.</summary>
    public static JobJson Readable => Relaxed.Value;

    // Made on first use: the order in which the parts of a class are set up is not defined.
    private static readonly Lazy<JobJson> Relaxed = new(() =>
        new JobJson(new JsonSerializerOptions(Default!.Options) { Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping }));

    /// <summary>The name of a cause as the document writes it.</summary>
    public static string NameOf(JobCause cause) => JsonNamingPolicy.CamelCase.ConvertName(cause.ToString());

    /// <summary>The name of a priority as the document writes it.</summary>
    public static string NameOf(Priority priority) => JsonNamingPolicy.CamelCase.ConvertName(priority.ToString());

    /// <summary>The name of a state as the document writes it.</summary>
    public static string NameOf(JobState state) => JsonNamingPolicy.CamelCase.ConvertName(state.ToString());
}
