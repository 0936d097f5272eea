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

    private static readonly JsonDocumentOptions FileOptions = new()
    {
        CommentHandling = JsonCommentHandling.Skip,
        AllowTrailingCommas = true,
        AllowDuplicateProperties = false,
    };

    /// <summary>The members that the settings can have.</summary>
    public static JsonTypeInfo Shape => Options.GetTypeInfo(typeof(ServiceSettings));

    /// <summary>A settings file with environment variables over it, and what is wrong with either, a line each.</summary>
    /// <returns>The settings without what is wrong, so that they can be checked further; null where nothing can be read.</returns>
    /// <exception cref="JsonException">Not a settings file; the message says where.</exception>
    public static (ServiceSettings? Settings, IReadOnlyList<string> Faults) Read(string json, IDictionary environment)
    {
        if (JsonNode.Parse(json, documentOptions: FileOptions) is not JsonObject file)
        {
            return (null, ["it holds no object: give one with at least 'register', { \"register\": \"register.json\" }."]);
        }

        (JsonObject document, IReadOnlyList<string> variables) = EnvironmentOverrides.Apply(file, Shape, environment);
        (JsonObject fitting, IReadOnlyList<string> faults) = SettingsShape.Fit(document, Shape);
        const string Register = "register";
        if (!fitting.ContainsKey(Register))
        {
            fitting[Register] = "";
            faults = document.ContainsKey(Register) ? faults : [.. faults, $"{Register} is missing: name the file with the vessel register."];
        }

        return (fitting.Deserialize<ServiceSettings>(Options), [.. variables, .. faults]);
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

    /// <summary>The settings to be looked at: what may be a secret in an address is hidden.</summary>
    public static string Show(ServiceSettings settings)
    {
        JsonNode document = JsonSerializer.SerializeToNode(settings, Options)!;
        WebAddress.Hide(document);
        return document.ToJsonString(Options);
    }
}
