using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using DriftWatch.Delivery.Documents;

namespace DriftWatch.Delivery.Webhook;

/// <summary>
/// Gives the job document the field names that a receiver asks for. A template is JSON; in its strings
/// <c>{{/job/vessel/place}}</c> stands for the value at that JSON Pointer (RFC 6901) of the document. A string that is
/// nothing else takes the value as it is (number, list, null); inside other text the value is written out.
/// </summary>
public sealed partial class FieldTemplate
{
    private readonly JsonNode _template;

    private FieldTemplate(JsonNode template) => _template = template;

    /// <summary>Reads a template from a file.</summary>
    /// <exception cref="FormatException">It is no template; the message says why.</exception>
    public static FieldTemplate Load(string file) => Parse(File.ReadAllText(file));

    /// <summary>Reads a template.</summary>
    /// <exception cref="FormatException">
    /// It is not JSON, points at something that no document holds, or leaves out the cautions.
    /// </exception>
    public static FieldTemplate Parse(string json)
    {
        JsonNode? template;
        try
        {
            template = JsonNode.Parse(json, documentOptions: new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip });
        }
        catch (JsonException fault)
        {
            throw new FormatException($"the template is not JSON: {fault.Message}", fault);
        }

        string[] pointers = [.. Hole().Matches(template?.ToJsonString(Readable) ?? "").Select(hole => hole.Groups[1].Value)];
        JsonNode sample = JsonNode.Parse(JobDocument.From(TestNotice.At(DateTimeOffset.UnixEpoch)).ToUtf8Json())!;
        foreach (string pointer in pointers)
        {
            if (!TryFind(sample, pointer, out _))
            {
                throw new FormatException($"the template points at '{pointer}', which no job document holds; docs/schema/job.schema.json names all places.");
            }
        }

        return pointers.Any(pointer => pointer is "" or "/job" or "/job/cautions")
            ? new FieldTemplate(template!)
            : throw new FormatException("the template leaves out the cautions: put {{/job/cautions}} where the people who do the work will read it.");
    }

    /// <summary>The document under the names of the template.</summary>
    public JsonNode Fill(JsonNode document) => FillNode(_template, document)!;

    private static readonly JsonSerializerOptions Readable = new() { Encoder = DocumentJson.Signs };

    private static JsonNode? FillNode(JsonNode? template, JsonNode document) => template switch
    {
        JsonObject fields => new JsonObject(fields.Select(field => KeyValuePair.Create(field.Key, FillNode(field.Value, document)))),
        JsonArray items => new JsonArray([.. items.Select(item => FillNode(item, document))]),
        JsonValue value when value.GetValueKind() == JsonValueKind.String => FillText(value.GetValue<string>(), document),
        _ => template?.DeepClone(),
    };

    private static JsonNode? FillText(string text, JsonNode document)
    {
        Match whole = Hole().Match(text);
        if (whole.Success && whole.Length == text.Length)
        {
            return ValueAt(document, whole.Groups[1].Value)?.DeepClone();
        }

        return Hole().Replace(text, hole => ValueAt(document, hole.Groups[1].Value) switch
        {
            null => "",
            JsonArray lines => string.Join("\n", lines.Select(line => line?.ToString())),
            JsonNode value => value.ToString(),
        });
    }

    /// <summary>The value, or null: a list may be shorter in this document than in another.</summary>
    private static JsonNode? ValueAt(JsonNode document, string pointer) => TryFind(document, pointer, out JsonNode? found) ? found : null;

    private static bool TryFind(JsonNode document, string pointer, out JsonNode? found)
    {
        found = document;
        foreach (string step in pointer.Split('/').Skip(1))
        {
            string name = step.Replace("~1", "/", StringComparison.Ordinal).Replace("~0", "~", StringComparison.Ordinal);
            // Below a part that this document leaves out, such as the filling of a job without a charge, there is nothing.
            if (found is null)
            {
                return true;
            }

            if (found is not JsonObject fields || !fields.TryGetPropertyValue(name, out found))
            {
                found = null;
                return false;
            }
        }

        return true;
    }

    [GeneratedRegex("""\{\{((?:/[^{}"]*)?)\}\}""")]
    private static partial Regex Hole();
}
