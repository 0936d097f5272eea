using System.Text.Json;
using System.Text.Json.Nodes;
using System.Text.Json.Serialization.Metadata;

namespace DriftWatch.Host.Settings;

/// <summary>
/// Holds a settings document against the members that the settings can have: all that does not fit is told at once, each with
/// its field, and left out, so that what is left can be read and checked too.
/// </summary>
internal sealed class SettingsShape
{
    private readonly List<string> _faults = [];

    private SettingsShape()
    {
    }

    /// <summary>What of a document fits, and what is wrong with the rest, a line each.</summary>
    /// <param name="document">The document; stays as it is.</param>
    /// <param name="shape">The members that the settings can have.</param>
    public static (JsonObject Fitting, IReadOnlyList<string> Faults) Fit(JsonObject document, JsonTypeInfo shape)
    {
        SettingsShape walk = new();
        return (walk.Members(document, shape, ""), walk._faults);
    }

    /// <summary>What to give where a member of a type is wanted.</summary>
    public static string Wanted(JsonTypeInfo member) => member.Kind switch
    {
        JsonTypeInfoKind.Object => $"an object with {string.Join(", ", member.Properties.Select(one => one.Name))}",
        JsonTypeInfoKind.Dictionary => "an object of names and texts",
        JsonTypeInfoKind.Enumerable => "a list",
        _ when member.Type == typeof(bool) => "true or false",
        _ when member.Type == typeof(string) => "a text",
        _ when member.Type == typeof(TimeSpan) => "a duration as a text, d.hh:mm:ss",
        _ when member.Type == typeof(int) || member.Type == typeof(long) => "a whole number",
        _ => "a number",
    };

    private JsonObject Members(JsonObject given, JsonTypeInfo shape, string at)
    {
        JsonObject fitting = [];
        foreach ((string name, JsonNode? value) in given)
        {
            if (shape.Properties.FirstOrDefault(one => one.Name == name) is not { } property)
            {
                string[] names = [.. shape.Properties.Select(one => one.Name)];
                _faults.Add(names.FirstOrDefault(one => string.Equals(one, name, StringComparison.OrdinalIgnoreCase)) is { } meant
                    ? $"{at}{name}: there is no such setting; write {meant}."
                    : $"{at}{name}: there is no such setting; there are {string.Join(", ", names)}.");
                continue;
            }

            Type type = property.PropertyType;
            bool nullable = type.IsValueType ? Nullable.GetUnderlyingType(type) is not null : property.IsSetNullable;
            if (TryFit(value, shape.Options.GetTypeInfo(Nullable.GetUnderlyingType(type) ?? type), nullable, at + name, out JsonNode? fits))
            {
                fitting[name] = fits;
            }
        }

        return fitting;
    }

    private bool TryFit(JsonNode? value, JsonTypeInfo member, bool nullable, string at, out JsonNode? fits)
    {
        fits = null;
        switch (member.Kind, value)
        {
            case (_, null):
                if (!nullable)
                {
                    _faults.Add($"{at} is null: give {Wanted(member)}, or leave it out.");
                }

                return nullable;
            case (JsonTypeInfoKind.Object, JsonObject given):
                JsonObject members = Members(given, member, at + ".");
                fits = members;
                JsonPropertyInfo[] missing = [.. member.Properties.Where(one => one.IsRequired && !members.ContainsKey(one.Name))];
                _faults.AddRange(missing.Where(one => !given.ContainsKey(one.Name)).Select(one =>
                    $"{at}.{one.Name} is missing: {at} needs {string.Join(", ", member.Properties.Where(other => other.IsRequired).Select(other => other.Name))}."));
                return missing.Length == 0;
            case (JsonTypeInfoKind.Dictionary, JsonObject given):
                JsonObject entries = [];
                foreach ((string name, JsonNode? one) in given)
                {
                    if (TryFit(one, member.Options.GetTypeInfo(member.ElementType!), false, $"{at}['{name}']", out JsonNode? entry))
                    {
                        entries[name] = entry;
                    }
                }

                fits = entries;
                return true;
            case (JsonTypeInfoKind.Enumerable, JsonArray given):
                // Left out as a whole where one does not fit: faults of the others would count their places wrongly.
                JsonArray places = [];
                fits = places;
                foreach (JsonNode? one in given)
                {
                    if (TryFit(one, member.Options.GetTypeInfo(member.ElementType!), false, FormattableString.Invariant($"{at}[{places.Count}]"), out JsonNode? place))
                    {
                        places.Add(place);
                    }
                    else
                    {
                        places.Add(null);
                    }
                }

                return !places.Contains(null);
            case (JsonTypeInfoKind.None, JsonValue) when Reads(value, member):
                fits = value.DeepClone();
                return true;
            default:
                _faults.Add($"{at} is {Said(value, member)}: give {Wanted(member)}.");
                return false;
        }
    }

    private static bool Reads(JsonNode value, JsonTypeInfo member)
    {
        try
        {
            _ = value.Deserialize(member);
            return true;
        }
        catch (JsonException)
        {
            return false;
        }
    }

    /// <summary>What was given; without a text that stands where a number does not, as it may be a secret.</summary>
    private static string Said(JsonNode value, JsonTypeInfo member) => value.GetValueKind() switch
    {
        JsonValueKind.Array => "a list",
        JsonValueKind.Object => "an object",
        JsonValueKind.String when member.Kind != JsonTypeInfoKind.None => "a text",
        JsonValueKind.Number when member.Type == typeof(string) => "a number",
        _ => value.ToJsonString(),
    };
}
