using System.Globalization;
using System.Text.Json.Nodes;
using DriftWatch.Delivery.Answers;
using DriftWatch.Delivery.Security;
using Microsoft.AspNetCore.OpenApi;
using Microsoft.OpenApi;

namespace DriftWatch.Host.Web.Answers;

/// <summary>How the description of the interface shows an answer; the same as docs/schema/answer.schema.json, which a test compares.</summary>
internal static class AnswerDescription
{
    private const string Name = "JobAnswer";

    /// <summary>An answer that is complete.</summary>
    private const string Example =
        """
        {
          "schemaVersion": "1.0", "id": "wo-4711-done", "jobKey": "P3-ACC-2/below/2025-03-01", "answer": "done", "who": "M. Fitter",
          "at": "2025-03-04T09:30:00+01:00", "remark": "cap torqued",
          "values": { "work": "charged", "gasPressureBarGauge": 90.2, "gasTemperatureCelsius": 21.5 }
        }
        """;

    /// <summary>Adds the body and the headers of its signature to the call.</summary>
    public static Task Shape(OpenApiOperation operation, OpenApiOperationTransformerContext context, CancellationToken stop)
    {
        OpenApiDocument document = context.Document!;
        _ = document.AddComponent(Name, Answer());
        OpenApiSchemaReference answer = new(Name, document);
        operation.RequestBody = new OpenApiRequestBody
        {
            Required = true,
            Description = "The answer, bare or with the attributes of a CloudEvent as ce- headers; or the whole event.",
            Content = new Dictionary<string, OpenApiMediaType>
            {
                ["application/json"] = new OpenApiMediaType { Schema = answer, Example = JsonNode.Parse(Example) },
                ["application/cloudevents+json"] = new OpenApiMediaType
                {
                    Schema = Event(answer),
                    Example = new JsonObject
                    {
                        ["specversion"] = "1.0",
                        ["type"] = AnswerEvent.Type,
                        ["id"] = "wo-4711-done",
                        ["source"] = "/cmms",
                        ["data"] = JsonNode.Parse(Example),
                    },
                },
            },
        };
        operation.Parameters ??= [];
        Header(WebhookSignature.IdHeader, "Id of the message, part of what is signed.");
        Header(WebhookSignature.TimestampHeader, "Moment of signing in seconds since 1970-01-01T00:00:00Z, at most five minutes off.");
        Header(WebhookSignature.SignatureHeader, "'v1,' and the Base64 form of HMAC-SHA256 over id.timestamp.body; several are separated by spaces.");
        return Task.CompletedTask;

        void Header(string name, string means) => operation.Parameters!.Add(new OpenApiParameter
        {
            Name = name,
            In = ParameterLocation.Header,
            Required = true,
            Description = means,
            Schema = new OpenApiSchema { Type = JsonSchemaType.String },
        });
    }

    private static OpenApiSchema Answer() => Object(
        "What a maintenance queue says back about a job. It counts once for each id; a rejection needs a remark.",
        ["schemaVersion", "id", "jobKey", "answer", "who", "at"],
        new()
        {
            ["schemaVersion"] = new OpenApiSchema { Description = "Version of this form.", Type = JsonSchemaType.String, Pattern = @"^1\.[0-9]*$" },
            ["id"] = Text("Id that the sender gives this answer. Sent again it counts once; two different answers never share one."),
            ["jobKey"] = Text("Key of the job, job.key of its notices."),
            ["answer"] = OneOf("taken: somebody has the job in hand. done: the work is done. rejected: it will not be done; the remark says why.", "taken", "done", "rejected"),
            ["who"] = Text("Who says so: a person or a team."),
            ["at"] = new OpenApiSchema { Description = "When it was so, RFC 3339 with its offset, at most 10 minutes ahead.", Type = JsonSchemaType.String, Format = "date-time" },
            ["remark"] = new OpenApiSchema { Description = "In the sender's words.", Type = JsonSchemaType.String | JsonSchemaType.Null, MaxLength = AnswerReader.LongestText },
            ["values"] = Values(),
        });

    private static OpenApiSchema Values()
    {
        OpenApiSchema values = Object(
            "What was read at the vessel, fluid side isolated and fully released, gas at a steady temperature.",
            ["work", "gasPressureBarGauge", "gasTemperatureCelsius"],
            new()
            {
                ["work"] = OneOf("checked: the precharge was left as it was. charged: gas was filled in or let out, and the values are those the vessel was left with.", "checked", "charged"),
                ["gasPressureBarGauge"] = Number("Pressure of the gas, bar above the surrounding air.", 0, AnswerReader.GreatestPressureBar),
                ["gasTemperatureCelsius"] = Number("Temperature of the gas at that pressure, degrees Celsius.", AnswerReader.LowestTemperatureCelsius, AnswerReader.HighestTemperatureCelsius),
            });
        values.Type |= JsonSchemaType.Null;
        return values;
    }

    private static OpenApiSchema Event(OpenApiSchemaReference answer) => Object(
        "A CloudEvents 1.0 event in structured mode.",
        ["specversion", "type", "id", "source", "data"],
        new()
        {
            ["specversion"] = OneOf("Version of CloudEvents.", "1.0"),
            ["type"] = OneOf("Event type of an answer.", AnswerEvent.Type),
            ["id"] = new OpenApiSchema { Description = "Id of the event.", Type = JsonSchemaType.String, MinLength = 1 },
            ["source"] = new OpenApiSchema { Description = "Who sends it.", Type = JsonSchemaType.String, MinLength = 1 },
            ["data"] = answer,
        });

    private static OpenApiSchema Object(string means, HashSet<string> required, Dictionary<string, IOpenApiSchema> properties) =>
        new() { Description = means, Type = JsonSchemaType.Object, Required = required, Properties = properties };

    private static OpenApiSchema Text(string means) =>
        new() { Description = means, Type = JsonSchemaType.String, MinLength = 1, MaxLength = AnswerReader.LongestText };

    private static OpenApiSchema OneOf(string means, params string[] values) =>
        new() { Description = means, Type = JsonSchemaType.String, Enum = [.. values.Select(value => JsonValue.Create(value))] };

    private static OpenApiSchema Number(string means, double least, double greatest) => new()
    {
        Description = means,
        Type = JsonSchemaType.Number,
        Minimum = least.ToString(CultureInfo.InvariantCulture),
        Maximum = greatest.ToString(CultureInfo.InvariantCulture),
    };
}
