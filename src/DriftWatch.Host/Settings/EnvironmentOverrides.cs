using System.Collections;
using System.Globalization;
using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization.Metadata;

namespace DriftWatch.Host.Settings;

/// <summary>
/// Environment variables that stand above the settings file: <c>DRIFTWATCH__broker__host</c> is <c>broker.host</c>,
/// <c>DRIFTWATCH__queue__webhooks__0__url</c> the url of the first webhook; letters in any case. A text is given plainly,
/// all else as JSON.
/// </summary>
internal static class EnvironmentOverrides
{
    public const string Prefix = "DRIFTWATCH__";

    /// <summary>Lays the variables over a settings document.</summary>
    /// <param name="document">The settings file's content; stays as it is.</param>
    /// <param name="shape">The members that the settings can have.</param>
    /// <param name="environment">Name and value of each variable.</param>
    /// <returns>The content with them, and what is wrong with a variable, a line each; such a one changes nothing.</returns>
    public static (JsonObject Document, IReadOnlyList<string> Faults) Apply(JsonObject document, JsonTypeInfo shape, IDictionary environment)
    {
        List<string> faults = [];
        IEnumerable<DictionaryEntry> ours = environment.Cast<DictionaryEntry>()
            .Where(entry => ((string)entry.Key).StartsWith(Prefix, StringComparison.OrdinalIgnoreCase))
            .OrderBy(entry => (string)entry.Key, StringComparer.Ordinal);
        foreach (DictionaryEntry entry in ours)
        {
            string name = (string)entry.Key;
            var tried = (JsonObject)document.DeepClone();
            if (Set(tried, shape, name[Prefix.Length..].Split("__"), (string?)entry.Value ?? "") is { } fault)
            {
                faults.Add($"environment variable {name}: {fault}");
                continue;
            }

            document = tried;
        }

        return (document, faults);
    }

    private static string? Set(JsonNode parent, JsonTypeInfo shape, ReadOnlySpan<string> path, string value)
    {
        string step = path[0];
        JsonTypeInfo member;
        string? key = null;
        int index = -1;
        if (shape.Kind == JsonTypeInfoKind.Object)
        {
            JsonPropertyInfo? property = shape.Properties.FirstOrDefault(one => string.Equals(one.Name, step, StringComparison.OrdinalIgnoreCase));
            if (property is null)
            {
                return $"there is no setting '{step}' here; there are {string.Join(", ", shape.Properties.Select(one => one.Name))}.";
            }

            key = property.Name;
            member = shape.Options.GetTypeInfo(Nullable.GetUnderlyingType(property.PropertyType) ?? property.PropertyType);
        }
        else if (shape.Kind == JsonTypeInfoKind.Enumerable)
        {
            int count = ((JsonArray)parent).Count;
            if (!int.TryParse(step, NumberStyles.None, CultureInfo.InvariantCulture, out index) || index > count)
            {
                return $"'{step}' is no place in a list of {count}: give 0 to {count}, the last to add one.";
            }

            member = shape.Options.GetTypeInfo(shape.ElementType!);
        }
        else
        {
            throw new InvalidOperationException("Only objects and lists have parts.");
        }

        if (path.Length == 1)
        {
            if (!TryRead(member, value, out JsonNode? read))
            {
                // A text that stands where an object belongs may be a secret.
                return $"{(member.Kind == JsonTypeInfoKind.None ? $"'{value}'" : "that")} is not what is wanted here; give it as JSON ({Wanted(member)}).";
            }

            Put(parent, key, index, read);
            return null;
        }

        if (member.Kind is not (JsonTypeInfoKind.Object or JsonTypeInfoKind.Enumerable))
        {
            return $"'{path[1]}' leads nowhere: '{step}' has no parts.";
        }

        JsonNode? child = key is not null ? parent[key] : index < ((JsonArray)parent).Count ? parent[index] : null;
        if (child is null)
        {
            child = member.Kind == JsonTypeInfoKind.Enumerable ? new JsonArray() : new JsonObject();
            Put(parent, key, index, child);
        }

        return (member.Kind, child) switch
        {
            (JsonTypeInfoKind.Object, JsonObject) or (JsonTypeInfoKind.Enumerable, JsonArray) => Set(child, member, path[1..], value),
            _ => $"'{step}' is of another shape in the settings file.",
        };
    }

    private static void Put(JsonNode parent, string? key, int index, JsonNode? value)
    {
        if (key is not null)
        {
            parent[key] = value;
        }
        else if (index < ((JsonArray)parent).Count)
        {
            parent[index] = value;
        }
        else
        {
            ((JsonArray)parent).Add(value);
        }
    }

    /// <summary>A text is taken as it stands, and so is a duration; all else is JSON, which is held against the settings with the file's.</summary>
    private static bool TryRead(JsonTypeInfo member, string value, out JsonNode? read)
    {
        try
        {
            bool plain = member.Type == typeof(string) || member.Type == typeof(TimeSpan);
            read = plain ? JsonValue.Create(value) : JsonNode.Parse(value);
            if (member.Kind == JsonTypeInfoKind.None)
            {
                _ = read?.Deserialize(member);
            }

            return true;
        }
        catch (JsonException)
        {
            read = null;
            return false;
        }
    }

    private static string Wanted(JsonTypeInfo member) =>
        member.Kind switch
        {
            JsonTypeInfoKind.Object => "an object, or name its parts one by one",
            JsonTypeInfoKind.Enumerable => "a list, or name its places one by one",
            _ => SettingsShape.Wanted(member),
        };
}
