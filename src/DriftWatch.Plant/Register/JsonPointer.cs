using System.Diagnostics.CodeAnalysis;
using System.Globalization;
using System.Text.Json;

namespace DriftWatch.Plant.Register;

/// <summary>A place in a JSON document by RFC 6901, such as <c>/data/0/pressure</c>. Immutable.</summary>
public sealed class JsonPointer : IEquatable<JsonPointer>
{
    private readonly Token[] _tokens;

    private JsonPointer(string text, Token[] tokens)
    {
        Text = text;
        _tokens = tokens;
    }

    /// <summary>The pointer as it is written.</summary>
    public string Text { get; }

    /// <summary>Pointers written the same are the same.</summary>
    public bool Equals(JsonPointer? other) => other is not null && Text == other.Text;

    /// <inheritdoc/>
    public override bool Equals(object? obj) => Equals(obj as JsonPointer);

    /// <inheritdoc/>
    public override int GetHashCode() => StringComparer.Ordinal.GetHashCode(Text);

    /// <summary>Reads a pointer (RFC 6901 section 3).</summary>
    /// <param name="text">Empty for the whole document, else a '/' before each step; '~1' stands for '/', '~0' for '~'.</param>
    /// <param name="pointer">The pointer.</param>
    /// <returns>False where the text is none.</returns>
    public static bool TryParse(string text, [NotNullWhen(true)] out JsonPointer? pointer)
    {
        ArgumentNullException.ThrowIfNull(text);
        pointer = null;
        if (text.Length > 0 && text[0] != '/')
        {
            return false;
        }

        for (int at = text.IndexOf('~', StringComparison.Ordinal); at >= 0; at = text.IndexOf('~', at + 1))
        {
            if (at + 1 == text.Length || text[at + 1] is not ('0' or '1'))
            {
                return false;
            }
        }

        pointer = new JsonPointer(text, text.Length == 0 ? [] : [.. text[1..].Split('/').Select(Token.Of)]);
        return true;
    }

    /// <summary>The pointer to a member of an object.</summary>
    public static JsonPointer ToMember(string name)
    {
        ArgumentNullException.ThrowIfNull(name);
        string escaped = name.Replace("~", "~0", StringComparison.Ordinal).Replace("/", "~1", StringComparison.Ordinal);
        return new JsonPointer("/" + escaped, [Token.Of(escaped)]);
    }

    /// <summary>What stands at the place (RFC 6901 section 4); null where there is nothing.</summary>
    /// <exception cref="InvalidOperationException">A member's name is no valid UTF-8.</exception>
    public JsonElement? Find(JsonElement document)
    {
        JsonElement at = document;
        foreach (Token token in _tokens)
        {
            if (at.ValueKind == JsonValueKind.Object && at.TryGetProperty(token.Name, out JsonElement member))
            {
                at = member;
            }
            else if (at.ValueKind == JsonValueKind.Array && token.Index is { } index && index < at.GetArrayLength())
            {
                at = at[index];
            }
            else
            {
                return null;
            }
        }

        return at;
    }

    /// <summary>The pointer as it is written.</summary>
    public override string ToString() => Text;

    /// <summary>One step: a member's name, and the place in an array where it is a number without leading zeros.</summary>
    private readonly record struct Token(string Name, int? Index)
    {
        public static Token Of(string escaped)
        {
            // '~1' first, so that '~01' becomes '~1' and not '/'.
            string name = escaped.Replace("~1", "/", StringComparison.Ordinal).Replace("~0", "~", StringComparison.Ordinal);
            bool index = name.Length > 0 && name.All(char.IsAsciiDigit) && (name.Length == 1 || name[0] != '0');
            return new Token(name, index && int.TryParse(name, CultureInfo.InvariantCulture, out int number) ? number : null);
        }
    }
}
