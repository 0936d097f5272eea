using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Plant.Jobs;

namespace DriftWatch.Delivery.Documents;

/// <summary>How a job document is written: camelCase, enumerations by name, UTC instants as RFC 3339 with 'Z'.</summary>
[JsonSourceGenerationOptions(
    PropertyNamingPolicy = JsonKnownNamingPolicy.CamelCase,
    WriteIndented = true,
    Converters = [typeof(CamelCaseName<JobCause>), typeof(CamelCaseName<JobState>), typeof(Rfc3339Utc)])]
[JsonSerializable(typeof(JobDocument))]
internal sealed partial class JobJson : JsonSerializerContext
{
    /// <summary>The name of a cause as the document writes it.</summary>
    public static string NameOf(JobCause cause) => JsonNamingPolicy.CamelCase.ConvertName(cause.ToString());
}
