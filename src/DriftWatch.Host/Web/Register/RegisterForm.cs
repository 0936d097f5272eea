using System.Globalization;
using System.Text.Json.Nodes;
using System.Text.RegularExpressions;
using DriftWatch.Plant.Register;

namespace DriftWatch.Host.Web.Register;

/// <summary>
/// The form of a vessel, made from the schema of the register, so that a new member of the schema has its field by itself.
/// Lists of records (charges, checks) have none: they stay as they are.
/// </summary>
internal static partial class RegisterForm
{
    private static readonly (string End, string Unit)[] Units =
    [
        ("BarGauge", "bar gauge"), ("BarPerMonth", "bar a month"), ("PercentPerMonth", "% a month"), ("KPa", "kPa"), ("Bar", "bar"),
        ("Celsius", "°C"), ("Kelvin", "K"), ("Litres", "litres"), ("Metres", "m"), ("Days", "days"), ("Seconds", "s"),
    ];

    private static readonly Lazy<IReadOnlyList<FormGroup>> Made = new(Make);

    /// <summary>The groups of fields in the order of the schema.</summary>
    public static IReadOnlyList<FormGroup> Groups => Made.Value;

    /// <summary>What stands in the fields for an entry.</summary>
    public static Dictionary<string, string> Read(JsonObject? entry)
    {
        Dictionary<string, string> values = new(StringComparer.Ordinal);
        foreach (FormField field in Groups.SelectMany(group => group.Fields))
        {
            if (At(entry, field.Path.Split('.')) is JsonValue value)
            {
                values[field.Path] = value.TryGetValue(out string? text) ? text : value.ToJsonString();
            }
        }

        return values;
    }

    /// <summary>The entry with what stands in the fields; what has no field stays as it was.</summary>
    /// <param name="before">The entry before; null for a new vessel.</param>
    /// <param name="value">What stands in the field of a path; empty for nothing.</param>
    public static JsonObject Write(JsonObject? before, Func<string, string> value)
    {
        JsonObject entry = before?.DeepClone().AsObject() ?? [];
        foreach (FormGroup group in Groups)
        {
            JsonObject place = ObjectAt(entry, group.Path);
            foreach (IGrouping<string, FormField> member in group.Fields.GroupBy(field => MemberOf(group, field)))
            {
                string[] texts = [.. member.Select(field => value(field.Path).Trim())];
                if (texts.All(text => text.Length == 0))
                {
                    _ = place.Remove(member.Key);
                }
                else if (texts.Length == 1)
                {
                    place[member.Key] = Node(member.First(), texts[0]);
                }
                else
                {
                    place[member.Key] = new JsonArray([.. member.Zip(texts, Node)]);
                }
            }
        }

        // From the innermost outwards: an object without members says nothing.
        foreach (string path in Groups.Select(group => group.Path).Where(path => path.Length > 0).OrderByDescending(path => path.Count(letter => letter == '.')))
        {
            if (At(entry, path.Split('.')) is JsonObject { Count: 0 } empty)
            {
                _ = empty.Parent!.AsObject().Remove(path.Split('.')[^1]);
            }
        }

        return entry;
    }

    /// <summary>The field that a defect of a vessel is about, or the group; null where it is about neither.</summary>
    public static string? FieldOf(RegisterDefect defect)
    {
        Match match = Vessel().Match(defect.Place);
        if (!match.Success)
        {
            return null;
        }

        string path = Place().Replace(match.Groups[1].Value, ".$1");
        return Groups.SelectMany(group => group.Fields.Select(field => field.Path)).Concat(Groups.Select(group => group.Path)).Where(known => known.Length > 0)
            .Where(known => path == known || path.StartsWith(known + ".", StringComparison.Ordinal) || known.StartsWith(path + ".", StringComparison.Ordinal))
            .OrderByDescending(known => known == path).ThenByDescending(known => known.Length > path.Length)
            .ThenBy(known => known.Length > path.Length ? known.Length : -known.Length).FirstOrDefault();
    }

    private static JsonNode? Node(FormField field, string text) =>
        // Decimal keeps the digits as they were typed; what is no number is left to the reader of the register to refuse.
        field.IsNumber && decimal.TryParse(text, NumberStyles.Float, CultureInfo.InvariantCulture, out decimal number)
            ? JsonValue.Create(number)
            : JsonValue.Create(text);

    private static string MemberOf(FormGroup group, FormField field) => field.Path[(group.Path.Length == 0 ? 0 : group.Path.Length + 1)..].Split('.')[0];

    private static JsonNode? At(JsonNode? node, IEnumerable<string> path) => path.Aggregate(node, (place, step) => place switch
    {
        JsonObject members => members[step],
        JsonArray list when int.TryParse(step, NumberStyles.None, CultureInfo.InvariantCulture, out int at) && at < list.Count => list[at],
        _ => null,
    });

    private static JsonObject ObjectAt(JsonObject entry, string path)
    {
        foreach (string step in path.Split('.', StringSplitOptions.RemoveEmptyEntries))
        {
            if (entry[step] is not JsonObject next)
            {
                entry[step] = next = [];
            }

            entry = next;
        }

        return entry;
    }

    private static List<FormGroup> Make()
    {
        JsonObject vessel = JsonNode.Parse(RegisterSchema.Text())!["$defs"]!["vessel"]!.AsObject();
        List<FormGroup> groups = [];
        Gather("", "Vessel", vessel, required: true, groups);
        return groups;
    }

    private static void Gather(string path, string title, JsonObject shape, bool required, List<FormGroup> groups)
    {
        HashSet<string> needed = shape["required"] is JsonArray names ? [.. names.Select(name => (string)name!)] : [];
        List<FormField> fields = [];
        List<Action> inner = [];
        foreach ((string name, JsonNode? node) in shape["properties"]!.AsObject())
        {
            JsonObject member = node!.AsObject();
            string at = path.Length == 0 ? name : $"{path}.{name}";
            string help = $"{(string?)member["description"]} {Allowed(member["items"] as JsonObject ?? member)}".Trim();
            string[] choices = member["enum"] is JsonArray values ? [.. values.Select(choice => (string)choice!)] : [];
            switch ((string?)member["type"])
            {
                case "object":
                    inner.Add(() => Gather(at, Words(name), member, required && needed.Contains(name), groups));
                    break;
                case "array" when (int?)member["maxItems"] == 2:
                    fields.Add(new FormField(at + ".0", Label(name) + ", lower end", help, true, [], needed.Contains(name)));
                    fields.Add(new FormField(at + ".1", Label(name) + ", upper end", help, true, [], needed.Contains(name)));
                    break;
                case "array":
                    break;
                default:
                    fields.Add(new FormField(
                        at, Label(name), help, (string?)member["type"] == "number", choices, needed.Contains(name)));
                    break;
            }
        }

        if (fields.Count > 0)
        {
            groups.Add(new FormGroup(path, title, path.Length == 0 ? "" : (string?)shape["description"] ?? "", required, fields));
        }

        inner.ForEach(gather => gather());
    }

    /// <summary>The range that a member allows, as a sentence; empty where it sets none.</summary>
    private static string Allowed(JsonObject member)
    {
        string? from = Text("minimum") ?? (Text("exclusiveMinimum") is { } above ? "more than " + above : null);
        string? to = Text("maximum") is { } most ? "up to " + most : Text("exclusiveMaximum") is { } below ? "less than " + below : null;
        string words = Text("minimum") is { } least && Text("maximum") is { } greatest ? $"{least} to {greatest}"
            : from is not null || to is not null ? string.Join(", ", new[] { from, to }.OfType<string>())
            : Text("maxLength") is { } longest ? $"up to {longest} characters" : "";
        return words.Length == 0 ? "" : $"{char.ToUpperInvariant(words[0])}{words[1..]}.";

        string? Text(string name) => member[name]?.ToJsonString();
    }

    private static string Label(string name)
    {
        foreach ((string end, string unit) in Units)
        {
            if (name.EndsWith(end, StringComparison.OrdinalIgnoreCase))
            {
                return end.Length < name.Length ? $"{Words(name[..^end.Length])}, {unit}" : char.ToUpperInvariant(unit[0]) + unit[1..];
            }
        }

        return Words(name);
    }

    private static string Words(string name) => char.ToUpperInvariant(name[0]) + Capital().Replace(name[1..], match => " " + match.Value.ToLowerInvariant());

    [GeneratedRegex("[A-Z]")]
    private static partial Regex Capital();

    [GeneratedRegex(@"^vessels\[\d+\]\.(.+)$")]
    private static partial Regex Vessel();

    [GeneratedRegex(@"\[(\d+)\]")]
    private static partial Regex Place();
}
