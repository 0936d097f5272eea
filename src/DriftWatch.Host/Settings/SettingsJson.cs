using System.Text.Json;
using System.Text.Json.Serialization;

namespace DriftWatch.Host.Settings;

/// <summary>How the settings file is written. By reflection: generated code would lose the defaults of members left out.</summary>
internal static class SettingsJson
{
    private static readonly JsonSerializerOptions Options = new()
    {
        PropertyNamingPolicy = JsonNamingPolicy.CamelCase,
        UnmappedMemberHandling = JsonUnmappedMemberHandling.Disallow,
        RespectNullableAnnotations = true,
        ReadCommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
        WriteIndented = true,
    };

    /// <exception cref="JsonException">Not a settings file; the message says where.</exception>
    public static ServiceSettings Read(string json) =>
        JsonSerializer.Deserialize<ServiceSettings>(json, Options) ?? throw new JsonException("It holds null; it should hold an object with at least 'register'.");

    public static string Write(ServiceSettings settings) => JsonSerializer.Serialize(settings, Options);
}
