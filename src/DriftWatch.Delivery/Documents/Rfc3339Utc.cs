using System.Globalization;
using System.Text.Json;
using System.Text.Json.Serialization;

namespace DriftWatch.Delivery.Documents;

/// <summary>Writes an instant as RFC 3339 in UTC with 'Z', the form that every reader takes.</summary>
internal sealed class Rfc3339Utc : JsonConverter<DateTimeOffset>
{
    /// <inheritdoc/>
    public override DateTimeOffset Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options) =>
        reader.GetDateTimeOffset().ToUniversalTime();

    /// <inheritdoc/>
    public override void Write(Utf8JsonWriter writer, DateTimeOffset value, JsonSerializerOptions options) =>
        writer.WriteStringValue(value.UtcDateTime.ToString("yyyy-MM-dd'T'HH:mm:ss.FFFFFFF'Z'", CultureInfo.InvariantCulture));
}
