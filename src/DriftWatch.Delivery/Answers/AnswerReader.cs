using System.Text.Json;
using DriftWatch.Plant.Jobs;
using DriftWatch.Plant.Records;

namespace DriftWatch.Delivery.Answers;

/// <summary>Reads the document of an answer; described by docs/schema/answer.schema.json.</summary>
public static class AnswerReader
{
    /// <summary>Most characters of a text.</summary>
    public const int LongestText = 2000;

    /// <summary>Greatest pressure that is taken, bar gauge, inclusive.</summary>
    public const double GreatestPressureBar = WorkRecord.GreatestBarGauge;

    /// <summary>Lowest temperature that is taken, degrees Celsius, inclusive.</summary>
    public const double LowestTemperatureCelsius = WorkRecord.LowestCelsius;

    /// <summary>Highest temperature that is taken, degrees Celsius, inclusive.</summary>
    public const double HighestTemperatureCelsius = WorkRecord.HighestCelsius;

    /// <summary>The answer.</summary>
    /// <exception cref="FormatException">It is none; the message says what and how to mend it.</exception>
    public static JobAnswer Read(ReadOnlyMemory<byte> json)
    {
        try
        {
            using JsonDocument document = JsonDocument.Parse(json);
            return Read(document.RootElement);
        }
        catch (JsonException fault)
        {
            throw new FormatException($"The answer is not JSON: {fault.Message}", fault);
        }
    }

    private static JobAnswer Read(JsonElement root)
    {
        if (root.ValueKind != JsonValueKind.Object)
        {
            throw new FormatException("The answer must be a JSON object.");
        }

        string version = Text(root, "schemaVersion");
        if (!version.StartsWith("1.", StringComparison.Ordinal))
        {
            throw new FormatException($"schemaVersion is '{version}'; this version reads 1.x.");
        }

        AnswerKind kind = Text(root, "answer") switch
        {
            "taken" => AnswerKind.Taken,
            "done" => AnswerKind.Done,
            "rejected" => AnswerKind.Rejected,
            string other => throw new FormatException($"answer is '{other}'; give taken, done or rejected."),
        };
        JobAnswer answer = new(Text(root, "id"), Text(root, "jobKey"), kind, Text(root, "who"), Instant(root, "at"))
        {
            Remark = root.TryGetProperty("remark", out JsonElement remark) && remark.ValueKind != JsonValueKind.Null ? Text(root, "remark", shortest: 0) : "",
        };
        if (!root.TryGetProperty("values", out JsonElement values) || values.ValueKind == JsonValueKind.Null)
        {
            return kind == AnswerKind.Rejected && answer.Remark.Length == 0
                ? throw new FormatException("remark is missing: a rejection says why.")
                : answer;
        }

        if (values.ValueKind != JsonValueKind.Object)
        {
            throw new FormatException("values must be a JSON object.");
        }

        return answer with
        {
            Work = Text(values, "work") switch
            {
                "checked" => AnswerWork.Checked,
                "charged" => AnswerWork.Charged,
                string other => throw new FormatException($"values.work is '{other}'; give checked or charged."),
            },
            GasPressureBarGauge = Number(values, "gasPressureBarGauge", 0, GreatestPressureBar, "bar gauge"),
            GasTemperatureCelsius = Number(values, "gasTemperatureCelsius", LowestTemperatureCelsius, HighestTemperatureCelsius, "degrees C"),
        };
    }

    private static string Text(JsonElement parent, string name, int shortest = 1) =>
        parent.TryGetProperty(name, out JsonElement value) && value.ValueKind == JsonValueKind.String
            && value.GetString() is { } text && text.Length >= shortest && text.Length <= LongestText
            ? text
            : throw new FormatException($"{name} is missing or no text of {shortest} to {LongestText} characters.");

    private static DateTimeOffset Instant(JsonElement parent, string name)
    {
        string text = Text(parent, name);
        return Plant.Register.Rfc3339.TryParse(text, out DateTimeOffset instant)
            ? instant.ToUniversalTime()
            : throw new FormatException($"{name} is '{text}'; give an RFC 3339 instant with its offset, such as 2025-03-04T09:30:00Z.");
    }

    private static double Number(JsonElement parent, string name, double least, double greatest, string unit) =>
        parent.TryGetProperty(name, out JsonElement value) && value.ValueKind == JsonValueKind.Number
            && value.TryGetDouble(out double number) && number >= least && number <= greatest
            ? number
            : throw new FormatException(FormattableString.Invariant($"values.{name} is missing or no number from {least} to {greatest} ({unit}); pressure and temperature are read together."));
}
