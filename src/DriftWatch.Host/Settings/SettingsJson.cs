using System.Collections;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization;
using System.Text.Json.Serialization.Metadata;

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
        TypeInfoResolver = new DefaultJsonTypeInfoResolver(),
    };

    /// <summary>The members that the settings can have.</summary>
    public static JsonTypeInfo Shape => Options.GetTypeInfo(typeof(ServiceSettings));

    /// <exception cref="JsonException">Not a settings file; the message says where.</exception>
    public static ServiceSettings Read(string json) =>
        JsonSerializer.Deserialize<ServiceSettings>(json, Options) ?? throw new JsonException("It holds null; it should hold an object with at least 'register'.");

    /// <summary>A settings file with environment variables over it, and what is wrong with those. The settings are without such; null where nothing can be read.</summary>
    /// <exception cref="JsonException">Not a settings file; the message says where.</exception>
    public static (ServiceSettings? Settings, IReadOnlyList<string> Faults) Read(string json, IDictionary environment)
    {
        ServiceSettings alone = Read(json);
        if (!environment.Keys.Cast<string>().Any(name => name.StartsWith(EnvironmentOverrides.Prefix, StringComparison.OrdinalIgnoreCase)))
        {
            return (alone, []);
        }

        JsonObject plain = JsonNode.Parse(json, documentOptions: new JsonDocumentOptions { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true })!.AsObject();
        (JsonObject document, IReadOnlyList<string> faults) = EnvironmentOverrides.Apply(plain, Shape, environment);
        try
        {
            return (document.Deserialize<ServiceSettings>(Options), faults);
        }
        catch (JsonException exception)
        {
            return (null, [.. faults, $"with the environment variables {EnvironmentOverrides.Prefix}...: {exception.Message}"]);
        }
    }

    /// <summary>The fields that differ, lists as a whole.</summary>
    public static IEnumerable<string> Differences(ServiceSettings one, ServiceSettings other) =>
        Differences("", JsonSerializer.SerializeToNode(one, Options), JsonSerializer.SerializeToNode(other, Options));

    private static IEnumerable<string> Differences(string at, JsonNode? one, JsonNode? other) => (one, other) switch
    {
        (JsonObject left, JsonObject right) => left.Select(member => member.Key).Union(right.Select(member => member.Key))
            .SelectMany(name => Differences(at.Length == 0 ? name : $"{at}.{name}", left[name], right[name])),
        _ => JsonNode.DeepEquals(one, other) ? [] : [at],
    };

    public static string Write(ServiceSettings settings) => JsonSerializer.Serialize(settings, Options);
}
