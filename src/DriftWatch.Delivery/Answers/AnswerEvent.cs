using System.Text;
using System.Text.Json;

namespace DriftWatch.Delivery.Answers;

/// <summary>
/// An answer as it comes over HTTP: the bare document, or a CloudEvents 1.0 event in structured mode (the document under
/// <c>data</c>) or binary mode (attributes as <c>ce-</c> headers, the document as the body).
/// </summary>
public static class AnswerEvent
{
    /// <summary>Event type of an answer.</summary>
    public const string Type = "driftwatch.job.answer";

    private const string Structured = "application/cloudevents+json";
    private const string Plain = "application/json";

    /// <summary>Whether a body of this media type can be an answer.</summary>
    public static bool Takes(string? contentType) => MediaTypeOf(contentType) is Structured or Plain;

    /// <summary>Gives the document of the answer.</summary>
    /// <param name="contentType">The Content-Type header.</param>
    /// <param name="header">The value of a header by its name; null where there is none.</param>
    /// <param name="body">The body as it was signed.</param>
    /// <exception cref="FormatException">It is no event of an answer; the message says what and how to mend it.</exception>
    public static ReadOnlyMemory<byte> Document(string? contentType, Func<string, string?> header, ReadOnlyMemory<byte> body)
    {
        if (MediaTypeOf(contentType) == Structured)
        {
            return DataOf(body);
        }

        // Headers of an event are optional, so that a queue without CloudEvents can answer too.
        if (header("ce-specversion") is { } version)
        {
            Check(version, header("ce-type"), header("ce-id"), header("ce-source"));
        }

        return body;
    }

    private static ReadOnlyMemory<byte> DataOf(ReadOnlyMemory<byte> body)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(body);
            JsonElement root = document.RootElement;
            if (root.ValueKind != JsonValueKind.Object)
            {
                throw new FormatException("The event must be a JSON object.");
            }

            Check(Text(root, "specversion"), Text(root, "type"), Text(root, "id"), Text(root, "source"));
            return root.TryGetProperty("data", out JsonElement data) && data.ValueKind == JsonValueKind.Object
                ? Encoding.UTF8.GetBytes(data.GetRawText())
                : throw new FormatException("The event has no object under data: the answer stands there as JSON, not in data_base64.");
        }
        catch (JsonException fault)
        {
            throw new FormatException($"The event is not JSON: {fault.Message}", fault);
        }
    }

    private static void Check(string? version, string? type, string? id, string? source)
    {
        if (version != "1.0")
        {
            throw new FormatException($"specversion is '{version}'; this version reads CloudEvents 1.0.");
        }

        if (type != Type)
        {
            throw new FormatException($"type is '{type}'; an answer is '{Type}'.");
        }

        if (string.IsNullOrEmpty(id) || string.IsNullOrEmpty(source))
        {
            throw new FormatException("id or source is missing: CloudEvents 1.0 asks for both.");
        }
    }

    private static string? Text(JsonElement root, string name) =>
        root.TryGetProperty(name, out JsonElement value) && value.ValueKind == JsonValueKind.String ? value.GetString() : null;

    private static string MediaTypeOf(string? contentType) =>
        (contentType ?? "").Split(';', 2)[0].Trim().ToLowerInvariant();
}
