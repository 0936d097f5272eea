using System.Globalization;
using System.Security.Cryptography;
using System.Text;
using System.Text.Encodings.Web;
using System.Text.Json;
using System.Text.Json.Nodes;

namespace DriftWatch.Plant.Register;

/// <summary>
/// The text of a register file that is good: what stands in it, what differs from another one, and how it reads with one
/// vessel changed. A change touches the text of its vessel only, so that comments and the order elsewhere stay.
/// </summary>
public static class RegisterText
{
    private const string Vessels = "vessels";
    private const string Indent = "    ";

    private static readonly JsonDocumentOptions Lenient = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true };
    private static readonly JsonReaderOptions LenientReader = new() { CommentHandling = JsonCommentHandling.Skip, AllowTrailingCommas = true };
    private static readonly JsonSerializerOptions Indented = new()
    {
        WriteIndented = true,
        Encoder = JavaScriptEncoder.UnsafeRelaxedJsonEscaping,
    };

    /// <summary>Digest of a text (SHA-256, hexadecimal): tells whether it is the one that somebody has seen.</summary>
    public static string DigestOf(string text) => Convert.ToHexString(SHA256.HashData(Encoding.UTF8.GetBytes(text)));

    /// <summary>The entry of a vessel as it stands in the file; null where there is none.</summary>
    public static JsonObject? EntryOf(string text, string vesselId) =>
        Parse(text)[Vessels]?.AsArray().FirstOrDefault(vessel => IdOf(vessel) == vesselId)?.AsObject();

    /// <summary>The text with the entry of a vessel put in the place of its former one, or behind the last.</summary>
    /// <param name="text">Text of a good register file.</param>
    /// <param name="vesselId">The vessel that is replaced; one that is not there is added.</param>
    /// <param name="entry">Its entry, with an id of its own: another one renames the vessel.</param>
    public static string Put(string text, string vesselId, JsonObject entry)
    {
        string written = entry.ToJsonString(Indented).ReplaceLineEndings("\n" + Indent);
        (byte[] bytes, List<(string? Id, int Start, int End)> vessels) = Places(text);
        foreach ((string? id, int start, int end) in vessels)
        {
            if (id == vesselId)
            {
                return Splice(bytes, start, end, written);
            }
        }

        int behind = vessels[^1].End;
        return Splice(bytes, behind, behind, ",\n" + Indent + written);
    }

    /// <summary>The text without the entry of a vessel; the text itself where there is none.</summary>
    public static string Remove(string text, string vesselId)
    {
        (byte[] bytes, List<(string? Id, int Start, int End)> vessels) = Places(text);
        int at = vessels.FindIndex(vessel => vessel.Id == vesselId);
        if (at < 0)
        {
            return text;
        }

        // With the comma that parts it from its neighbour.
        return at + 1 < vessels.Count ? Splice(bytes, vessels[at].Start, vessels[at + 1].Start, "")
            : at > 0 ? Splice(bytes, vessels[at - 1].End, vessels[at].End, "")
            : Splice(bytes, vessels[at].Start, vessels[at].End, "");
    }

    /// <summary>What differs between two states of the file, by vessel in the order of the later one, those that are gone last.</summary>
    public static IReadOnlyList<RegisterFieldChange> Changes(string before, string after)
    {
        (SortedDictionary<string, string> fileBefore, Dictionary<string, SortedDictionary<string, string>> vesselsBefore) = Fields(before);
        (SortedDictionary<string, string> fileAfter, Dictionary<string, SortedDictionary<string, string>> vesselsAfter) = Fields(after);
        List<RegisterFieldChange> changes = [];
        Compare("", fileBefore, fileAfter);
        foreach (string id in vesselsAfter.Keys.Concat(vesselsBefore.Keys.Where(id => !vesselsAfter.ContainsKey(id))))
        {
            Compare(id, vesselsBefore.GetValueOrDefault(id) ?? [], vesselsAfter.GetValueOrDefault(id) ?? []);
        }

        return changes;

        void Compare(string id, SortedDictionary<string, string> was, SortedDictionary<string, string> now)
        {
            foreach (string field in was.Keys.Union(now.Keys, StringComparer.Ordinal).Order(StringComparer.Ordinal))
            {
                (string? one, string? other) = (was.GetValueOrDefault(field), now.GetValueOrDefault(field));
                if (one != other)
                {
                    changes.Add(new RegisterFieldChange(id, field, one, other));
                }
            }
        }
    }

    private static JsonObject Parse(string text) => JsonNode.Parse(text.TrimStart('\uFEFF'), documentOptions: Lenient)!.AsObject();

    private static string? IdOf(JsonNode? vessel) => (string?)vessel?["id"];

    private static (SortedDictionary<string, string> File, Dictionary<string, SortedDictionary<string, string>> Vessels) Fields(string text)
    {
        JsonObject file = Parse(text);
        Dictionary<string, SortedDictionary<string, string>> vessels = new(StringComparer.Ordinal);
        foreach (JsonNode? vessel in file[Vessels]?.AsArray() ?? [])
        {
            SortedDictionary<string, string> fields = new(StringComparer.Ordinal);
            Flatten(vessel, "", fields);
            vessels[IdOf(vessel) ?? ""] = fields;
        }

        _ = file.Remove(Vessels);
        SortedDictionary<string, string> beside = new(StringComparer.Ordinal);
        Flatten(file, "", beside);
        return (beside, vessels);
    }

    /// <summary>Objects by their members; a list is one value: the place of a member in it says nothing.</summary>
    private static void Flatten(JsonNode? node, string path, SortedDictionary<string, string> fields)
    {
        if (node is JsonObject members)
        {
            foreach ((string name, JsonNode? member) in members)
            {
                Flatten(member, path.Length == 0 ? name : $"{path}.{name}", fields);
            }
        }
        else
        {
            fields[path] = node?.ToJsonString() ?? "null";
        }
    }

    /// <summary>Where the vessels stand in the text, in bytes of UTF-8.</summary>
    private static (byte[] Bytes, List<(string? Id, int Start, int End)> Vessels) Places(string text)
    {
        byte[] bytes = Encoding.UTF8.GetBytes(text.TrimStart('\uFEFF'));
        List<(string? Id, int Start, int End)> vessels = [];
        Utf8JsonReader reader = new(bytes, LenientReader);
        _ = reader.Read();
        while (reader.Read() && reader.TokenType == JsonTokenType.PropertyName)
        {
            bool isVessels = reader.ValueTextEquals(Vessels);
            _ = reader.Read();
            if (!isVessels)
            {
                reader.Skip();
                continue;
            }

            while (reader.Read() && reader.TokenType == JsonTokenType.StartObject)
            {
                int start = (int)reader.TokenStartIndex;
                reader.Skip();
                int end = (int)reader.BytesConsumed;
                vessels.Add((IdOf(JsonNode.Parse(bytes.AsSpan(start, end - start), documentOptions: Lenient)), start, end));
            }
        }

        return vessels.Count > 0
            ? (bytes, vessels)
            : throw new FormatException(string.Create(CultureInfo.InvariantCulture, $"The text of {bytes.Length} bytes lists no vessels: it is no register file."));
    }

    private static string Splice(byte[] bytes, int start, int end, string text) =>
        Encoding.UTF8.GetString(bytes.AsSpan(0, start)) + text + Encoding.UTF8.GetString(bytes.AsSpan(end));
}
