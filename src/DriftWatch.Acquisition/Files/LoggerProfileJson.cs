using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Serialization;
using DriftWatch.Trends.Readings;

namespace DriftWatch.Acquisition.Files;

/// <summary>A logger profile as a JSON file, by <c>docs/schema/logger-profile.schema.json</c>.</summary>
public static class LoggerProfileJson
{
    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        RespectRequiredConstructorParameters = true,
        ReadCommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
        WriteIndented = true,
        DefaultIgnoreCondition = JsonIgnoreCondition.WhenWritingNull,
        Converters = { new JsonStringEnumConverter(JsonNamingPolicy.CamelCase, allowIntegerValues: false) },

        // Headers hold degree signs and umlauts; the file is for people.
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>Reads and checks a profile.</summary>
    /// <exception cref="InvalidDataException">The text is no profile; the message says what is wrong.</exception>
    public static LoggerProfile Read(string json)
    {
        ArgumentNullException.ThrowIfNull(json);
        try
        {
            Document document = JsonSerializer.Deserialize<Document>(json, Options) ?? throw new InvalidDataException("The logger profile holds null.");
            LoggerProfile profile = document.ToProfile();
            profile.Validate();
            return profile;
        }
        catch (JsonException exception)
        {
            throw new InvalidDataException($"The logger profile cannot be read: {exception.Message}", exception);
        }
        catch (ArgumentException exception)
        {
            throw new InvalidDataException($"The logger profile is no good: {exception.Message}", exception);
        }
        catch (Exception exception) when (exception is TimeZoneNotFoundException or InvalidTimeZoneException)
        {
            throw new InvalidDataException($"The logger profile names a zone that is not known here: {exception.Message} Write it like Europe/Berlin.", exception);
        }
    }

    /// <summary>The profile as text.</summary>
    public static string Write(LoggerProfile profile)
    {
        ArgumentNullException.ThrowIfNull(profile);
        return JsonSerializer.Serialize(Document.Of(profile), Options);
    }

    private sealed record Column(string Header, Signal Signal, string? Unit = null, string? Vessel = null);

    private sealed record Document
    {
        [JsonPropertyName("$schema")]
        public string? Schema { get; init; }

        public string TimeHeader { get; init; } = "time";

        public string? DateHeader { get; init; }

        public string? TimeFormat { get; init; }

        public string? Zone { get; init; }

        public string? VesselHeader { get; init; }

        public Dictionary<string, string>? Vessels { get; init; }

        public string? Separator { get; init; }

        public bool? DecimalComma { get; init; }

        public int HeaderLine { get; init; } = 1;

        public int RowsAfterHeader { get; init; }

        public string[]? ErrorCodes { get; init; }

        public string? Encoding { get; init; }

        public required Column[] Columns { get; init; }

        public static Document Of(LoggerProfile profile) => new()
        {
            TimeHeader = profile.TimeHeader,
            DateHeader = profile.DateHeader,
            TimeFormat = profile.TimeFormat,
            Zone = profile.Zone?.Id,
            VesselHeader = profile.VesselHeader,
            Vessels = profile.Vessels.Count == 0 ? null : profile.Vessels.ToDictionary(StringComparer.Ordinal),
            Separator = profile.Separator?.ToString(),
            DecimalComma = profile.DecimalComma,
            HeaderLine = profile.HeaderLine,
            RowsAfterHeader = profile.RowsAfterHeader,
            ErrorCodes = profile.ErrorCodes.Count == 0 ? null : [.. profile.ErrorCodes],
            Encoding = profile.Latin1 ? "latin1" : null,
            Columns = [.. profile.Columns.Select(column => new Column(column.Header, column.Signal, column.Unit.Length == 0 ? null : column.Unit, column.Vessel))],
        };

        public LoggerProfile ToProfile() => new()
        {
            TimeHeader = TimeHeader,
            DateHeader = DateHeader,
            TimeFormat = TimeFormat,
            Zone = Zone is null ? null : TimeZoneInfo.FindSystemTimeZoneById(Zone),
            VesselHeader = VesselHeader,
            Vessels = Vessels ?? [],
            Separator = Separator is null ? null
                : Separator.Length == 1 ? Separator[0]
                : throw new ArgumentException($"separator is '{Separator}'; one character is needed, such as ';' or a tab."),
            DecimalComma = DecimalComma,
            HeaderLine = HeaderLine,
            RowsAfterHeader = RowsAfterHeader,
            ErrorCodes = ErrorCodes ?? [],
            Latin1 = Encoding switch
            {
                null or "utf-8" => false,
                "latin1" => true,
                _ => throw new ArgumentException($"encoding is '{Encoding}'; allowed are utf-8 and latin1."),
            },
            Columns = [.. Columns.Select(column => new LoggerColumn(column.Header, column.Signal, column.Unit ?? "", column.Vessel))],
        };
    }
}
