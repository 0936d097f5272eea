using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json;

namespace DriftWatch.Plant.Register;

/// <summary>
/// One JSON object of a register file while it is read: gives its members by name and type, notes each defect, and at the
/// end tells which members nobody asked for.
/// </summary>
internal sealed class RegisterObject
{
    private readonly Dictionary<string, JsonElement> _members = new(StringComparer.Ordinal);
    private readonly List<string> _asked = [];
    private readonly List<RegisterDefect> _defects;
    private readonly string _path;

    private RegisterObject(string path, string? vesselId, List<RegisterDefect> defects)
    {
        _path = path;
        VesselId = vesselId;
        _defects = defects;
    }

    public string? VesselId { get; set; }

    /// <summary>Opens an object; null, with the defect noted, where the element is something else.</summary>
    public static RegisterObject? Open(JsonElement element, string path, string? vesselId, List<RegisterDefect> defects)
    {
        RegisterObject opened = new(path, vesselId, defects);
        if (element.ValueKind != JsonValueKind.Object)
        {
            defects.Add(new RegisterDefect(
                path.Length == 0 ? "the whole file" : path, vesselId, $"An object is needed, this is {Kind(element)}.", "Write { ... } here."));
            return null;
        }

        foreach (JsonProperty member in element.EnumerateObject())
        {
            if (!opened._members.TryAdd(member.Name, member.Value))
            {
                opened.Note(member.Name, "The field stands here twice.", "Leave one of them.");
            }
        }

        return opened;
    }

    /// <summary>Place of a member in the file.</summary>
    public string PlaceOf(string name) => _path.Length == 0 ? name : $"{_path}.{name}";

    /// <summary>Notes a defect at a member.</summary>
    public void Note(string name, string problem, string mend) =>
        _defects.Add(new RegisterDefect(PlaceOf(name), VesselId, problem, mend));

    /// <summary>Whether the member stands in the object; it counts as asked for.</summary>
    public bool Has(string name)
    {
        _asked.Add(name);
        return _members.ContainsKey(name);
    }

    public RegisterObject? RequiredObject(string name, string example) =>
        TryRequired(name, example, out JsonElement element) ? Open(element, PlaceOf(name), VesselId, _defects) : null;

    public RegisterObject? OptionalObject(string name) =>
        TryOptional(name, out JsonElement element) ? Open(element, PlaceOf(name), VesselId, _defects) : null;

    /// <summary>Opens an element of one of its arrays.</summary>
    public RegisterObject? Open(string name, JsonElement element) => Open(element, PlaceOf(name), VesselId, _defects);

    public string? RequiredText(string name, string example) =>
        TryRequired(name, example, out JsonElement element) ? Text(name, element) : null;

    public string? OptionalText(string name) => TryOptional(name, out JsonElement element) ? Text(name, element) : null;

    public double? RequiredNumber(string name, string example, Range range) =>
        TryRequired(name, example, out JsonElement element) ? Number(name, element, range) : null;

    public double? OptionalNumber(string name, Range range) =>
        TryOptional(name, out JsonElement element) ? Number(name, element, range) : null;

    /// <summary>A pair [low, high] with low below high.</summary>
    public (double Low, double High)? RequiredPair(string name, string example, Range range)
    {
        if (!TryRequired(name, example, out JsonElement element))
        {
            return null;
        }

        if (element.ValueKind != JsonValueKind.Array || element.GetArrayLength() != 2)
        {
            Note(name, "Two numbers in brackets are needed: lower and upper end.", $"Write it like {example}.");
            return null;
        }

        double? low = Number($"{name}[0]", element[0], range);
        double? high = Number($"{name}[1]", element[1], range);
        if (low is null || high is null)
        {
            return null;
        }

        if (!(low < high))
        {
            Note(name, Invariant($"The lower end {low} is not below the upper end {high}."), "Write the lower end first.");
            return null;
        }

        return (low.Value, high.Value);
    }

    /// <summary>Elements of an array with their places; null where it is missing or no array.</summary>
    public IReadOnlyList<(string Name, JsonElement Element)>? Array(string name, bool required, string example)
    {
        JsonElement element;
        if (required ? !TryRequired(name, example, out element) : !TryOptional(name, out element))
        {
            return null;
        }

        if (element.ValueKind != JsonValueKind.Array)
        {
            Note(name, $"A list in brackets is needed, this is {Kind(element)}.", $"Write it like {example}.");
            return null;
        }

        return [.. element.EnumerateArray().Select((item, index) => ($"{name}[{index}]", item))];
    }

    public string? Text(string name, JsonElement element)
    {
        if (element.ValueKind != JsonValueKind.String)
        {
            Note(name, $"A text in double quotes is needed, this is {Kind(element)}.", "Put it in double quotes.");
            return null;
        }

        string text = element.GetString()!;
        if (text.Length == 0)
        {
            Note(name, "The text is empty.", "Fill it in.");
            return null;
        }

        return text;
    }

    /// <summary>Notes each member that nobody asked for.</summary>
    public void Close()
    {
        foreach (string name in _members.Keys)
        {
            if (!_asked.Contains(name, StringComparer.Ordinal))
            {
                string? near = _asked.FirstOrDefault(asked => string.Equals(asked, name, StringComparison.OrdinalIgnoreCase));
                Note(
                    name,
                    "No such field is known here.",
                    near is null ? $"Remove it; known here: {string.Join(", ", _asked.Distinct(StringComparer.Ordinal))}." : $"Write it '{near}'.");
            }
        }
    }

    public static string Invariant(FormattableString text) => text.ToString(CultureInfo.InvariantCulture);

    private static string Kind(JsonElement element) => element.ValueKind switch
    {
        JsonValueKind.Object => "an object",
        JsonValueKind.Array => "a list",
        JsonValueKind.String => $"the text \"{element.GetString()}\"",
        JsonValueKind.Number => $"the number {element.GetRawText()}",
        JsonValueKind.Null => "null",
        _ => element.GetRawText(),
    };

    private bool TryRequired(string name, string example, [NotNullWhen(true)] out JsonElement element)
    {
        _asked.Add(name);
        if (_members.TryGetValue(name, out element))
        {
            return true;
        }

        Note(name, "The field is missing.", $"Add \"{name}\": {example}.");
        return false;
    }

    private bool TryOptional(string name, out JsonElement element)
    {
        _asked.Add(name);
        return _members.TryGetValue(name, out element);
    }

    private double? Number(string name, JsonElement element, Range range)
    {
        if (element.ValueKind != JsonValueKind.Number)
        {
            Note(name, $"A number is needed, this is {Kind(element)}.", "Write a plain number, without quotes and with a decimal point.");
            return null;
        }

        double number = element.GetDouble();
        if (!range.Holds(number))
        {
            Note(name, Invariant($"{element.GetRawText()} is out of range."), $"Allowed is {range}.");
            return null;
        }

        return number;
    }

    /// <summary>Numbers allowed, and whether the lower and upper ends are among them.</summary>
    public readonly record struct Range(double Low, bool LowAllowed, double High, bool HighAllowed, string Unit)
    {
        public static Range Above(double low, double highest, string unit) => new(low, false, highest, true, unit);

        public static Range From(double lowest, double highest, string unit) => new(lowest, true, highest, true, unit);

        public static Range Between(double low, double high, string unit) => new(low, false, high, false, unit);

        /// <summary>Accepts the good, so that NaN and infinity fail.</summary>
        public bool Holds(double number) =>
            (LowAllowed ? number >= Low : number > Low) && (HighAllowed ? number <= High : number < High);

        public override string ToString() => Invariant(
            $"{(LowAllowed ? "from" : "above")} {Low} {(HighAllowed ? "to" : "to below")} {High} {Unit}").TrimEnd();
    }
}
