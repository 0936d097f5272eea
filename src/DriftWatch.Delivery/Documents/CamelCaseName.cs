using System.Text.Json;
using System.Text.Json.Serialization;

namespace DriftWatch.Delivery.Documents;

/// <summary>Writes an enumeration by its name in camelCase and reads nothing else.</summary>
internal sealed class CamelCaseName<T>() : JsonStringEnumConverter<T>(JsonNamingPolicy.CamelCase, allowIntegerValues: false)
    where T : struct, Enum;
