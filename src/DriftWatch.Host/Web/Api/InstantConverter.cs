using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Web.Api;

/// <summary>
/// Instants as RFC 3339 writes them. One without its offset is refused: taken in the zone of this machine it would be another
/// moment on another machine.
/// </summary>
internal sealed class InstantConverter : JsonConverter<DateTimeOffset>
{
    private const string Remedy = "Give date and time with seconds and an offset (RFC 3339), like 2026-10-01T06:00:00Z.";

    /// <inheritdoc/>
    /// <exception cref="JsonException">It names no instant.</exception>
    public override DateTimeOffset Read(ref Utf8JsonReader reader, Type typeToConvert, JsonSerializerOptions options)
    {
        if (reader.TokenType != JsonTokenType.String)
        {
            throw new JsonException($"What stands here is no text. {Remedy}");
        }

        string text = reader.GetString()!;
        return Rfc3339.TryParse(text, out DateTimeOffset instant)
            ? instant
            : throw new JsonException($"'{text}' names no instant. {Remedy}");
    }

    /// <inheritdoc/>
    public override void Write(Utf8JsonWriter writer, DateTimeOffset value, JsonSerializerOptions options) => writer.WriteStringValue(value);
}
